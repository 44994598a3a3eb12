"""Documents are read back: a page, a word or a size that is not what was written is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel.drawing import Drawing, Text, pdf_bytes
from deskmodel.errors import BuildFault
from deskmodel.exporters._pages import read_pages, written_pages

NAME = "documents/x.pdf"


def page(text: str, size: tuple[float, float] = (210.0, 297.0)) -> Drawing:
    return Drawing(size, "t", "r", (Text(text, (20, 20), 2.5), Text("turned-", (50, 60), 2.5, turn=90)))


def put(folder: Path, data: bytes) -> None:
    (folder / "documents").mkdir(exist_ok=True)
    (folder / NAME).write_bytes(data)


def test_read_back(tmp_path: Path) -> None:
    pages = [page("Ø 8 × 40 – rail 桌 end-"), page("second", (420, 297))]
    written = written_pages({NAME: (pages, "t", "r")})
    put(tmp_path, written.files[NAME])
    written.read_back(tmp_path)
    read = read_pages(written.files[NAME])
    assert "second" in read[1].text
    assert read[1].size == pytest.approx((420, 297), abs=0.01)
    for other in ([pages[0]], [pages[0], page("secomd", (420, 297))], [pages[0], page("second", (420, 298))],
                  [pages[1], pages[0]], [*pages, pages[1]]):
        put(tmp_path, pdf_bytes(other, "t", "r"))
        with pytest.raises(BuildFault):
            written.read_back(tmp_path)
    for data in (b"", b"%PDF-1.4", written.files[NAME][:400]):
        put(tmp_path, data)
        with pytest.raises(BuildFault):
            written.read_back(tmp_path)
