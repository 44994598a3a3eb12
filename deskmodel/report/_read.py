"""A report read back by the parser of the standard library, which knows nothing of how it was made."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

from deskmodel.errors import BuildFault

__all__ = ["PageContent", "read_report"]

_VOID = {"meta", "br"}
_KEPT = ("data-finding", "data-check", "data-bay", "data-parameter")


@dataclass
class PageContent:
    """What a page says: the text within each element that is marked as a finding or a bay (by its number), a check or a
    parameter (by its name); how many pictures there are; ``tags``: all kinds of elements; ``text``: everything."""

    findings: dict[str, str] = field(default_factory=dict)
    checks: dict[str, str] = field(default_factory=dict)
    bays: dict[str, str] = field(default_factory=dict)
    parameters: dict[str, str] = field(default_factory=dict)
    pictures: int = 0
    tags: set[str] = field(default_factory=set)
    text: str = ""


def read_report(data: bytes) -> PageContent:
    """BuildFault where it is no text, or an element is not closed where it should be."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        raise BuildFault(f"a report that is no text: {fault}") from fault
    reader = _Reader()
    reader.feed(text)
    reader.close()
    if reader.open:
        raise BuildFault(f"a report that ends within <{reader.open[-1][0]}>")
    reader.content.text = "".join(reader.texts)
    return reader.content


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.content = PageContent()
        self.texts: list[str] = []
        self.open: list[tuple[str, str | None, str, int]] = []  # tag, mark, its value, where its text begins

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.content.tags.add(tag)
        self.content.pictures += tag == "svg"
        if tag in _VOID:
            return
        mark, value = next(((name, said or "") for name, said in attrs if name in _KEPT), (None, ""))
        self.open.append((tag, mark, value, len(self.texts)))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.content.tags.add(tag)

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1][0] != tag:
            raise BuildFault(f"a report in which </{tag}> closes nothing")
        _, mark, value, start = self.open.pop()
        if mark is not None:
            kept: dict[str, str] = getattr(self.content, f"{mark.removeprefix('data-')}s")
            if value in kept:
                raise BuildFault(f"a report that tells {mark.removeprefix('data-')} {value!r} twice")
            kept[value] = "".join(self.texts[start:])

    def handle_data(self, data: str) -> None:
        self.texts.append(data)
