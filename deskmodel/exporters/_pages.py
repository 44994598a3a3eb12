"""A document of several pages as one PDF, read back by another library than the one that wrote it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import pypdfium2

from deskmodel.drawing import Drawing, Text, pdf_bytes
from deskmodel.drawing.pdf import drawn
from deskmodel.errors import BuildFault
from deskmodel.exporters._job import Written

__all__ = ["PageRead", "read_pages", "written_pages"]

_UNIT = 72 / 25.4
_BROKEN_HYPHEN = "\ufffe"  # the reader takes a hyphen at the end of a line for one that divides a word


@dataclass(frozen=True, slots=True)
class PageRead:
    """``size`` (width, height) in mm and the lettering of a page, its lines in the order of the file."""

    size: tuple[float, float]
    text: str


def written_pages(files: Mapping[str, tuple[Sequence[Drawing], str, str]]) -> Written:
    """By path: the pages of a document, its title and its remark."""
    data = {name: pdf_bytes(pages, title, remark) for name, (pages, title, remark) in files.items()}

    def read_back(folder: Path) -> None:
        for name, (pages, _, _) in files.items():
            _compare(name, read_pages((folder / name).read_bytes(), name), pages)

    return Written(data, read_back)


def read_pages(data: bytes, name: str = "the file") -> list[PageRead]:
    """BuildFault where it is no PDF."""
    try:
        document = pypdfium2.PdfDocument(data)
        read = []
        for page in document:
            lettering = page.get_textpage()
            read.append(PageRead((page.get_width() / _UNIT, page.get_height() / _UNIT),
                                 lettering.get_text_range().replace(_BROKEN_HYPHEN, "-")))
            lettering.close()
            page.close()
        document.close()
    except pypdfium2.PdfiumError as fault:
        raise BuildFault(f"{name} read back is no PDF: {fault}") from fault
    return read


def _compare(name: str, read: Sequence[PageRead], pages: Sequence[Drawing]) -> None:
    if len(read) != len(pages):
        raise BuildFault(f"{name} read back has {len(read)} pages, {len(pages)} were written")
    for i, (there, page) in enumerate(zip(read, pages, strict=True), 1):
        if any(abs(a - b) > 0.01 for a, b in zip(there.size, page.size, strict=True)):
            raise BuildFault(f"page {i} of {name} read back is {there.size[0]:.2f} × {there.size[1]:.2f}")
        texts = "".join(drawn(record.text, record.bold) for record in page.records if isinstance(record, Text))
        if _signs(there.text) != _signs(texts):
            raise BuildFault(f"page {i} of {name} read back says something else than was written")


def _signs(text: str) -> Counter[str]:
    """How often each sign is there; spaces are not counted, since no reader is bound to tell them."""
    return Counter(sign for sign in text if not sign.isspace() and sign.isprintable())
