"""How a jig is used, as text and tables for one page; the figure comes from whoever has its mesh."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.flow import Block, Column, Figure, Heading, Paragraph, Table
from deskmodel.jigs._types import CAUTIONS, Depth, Jig, JigUse, Slop, SlopShare, likely, worst

__all__ = ["how_to_use"]

_SMALL = 2.2


def how_to_use(jig: Jig, uses: Sequence[JigUse], slop: Slop | None, picture: Figure) -> Iterator[Block]:
    """``uses``: all of this jig. ``slop``: None where it could not be worked out, which the page then says."""
    what = "End jig" if jig.kind == "end" else "Face jig"
    yield Heading(f"{jig.label}: {what}, {len(jig.axes)} × Ø {jig.diameter:g}")
    yield picture
    yield Table((Column("setting", 1), Column("this jig", 4)), tuple(_settings(jig)), _SMALL)
    for i, step in enumerate(_steps(jig, uses), 1):
        yield Paragraph(step, _SMALL, mark=str(i))
    yield Heading("Cautions", 2.5)
    for text in CAUTIONS:
        yield Paragraph(text, _SMALL, mark="–")
    yield Heading("How far off it can be", 2.5)
    yield from (Paragraph(text, _SMALL) for text in (verdict(slop) if slop else ("Not worked out for this jig.",)))
    yield Heading("Where it is used", 2.5)
    yield _uses(jig, uses)
    if slop is not None:
        yield Heading("What makes it be off", 2.5)
        yield _slop(slop)


def _settings(jig: Jig) -> Iterator[tuple[str, str]]:
    yield "bit", f"{jig.bit.text}, {jig.bit.length:g} of it usable, with a stop collar"
    how = "pressed" if jig.bush.seat == "press" else "slid"
    yield "bushes", (f"{len(jig.axes)} × {jig.bush.text}, {how} into seats printed Ø {figure(jig.seat_diameter)}; they "
                     f"guide {figure(jig.guide)} and end {figure(jig.gap)} above the wood, for the chips")
    for depth in jig.depths:
        yield f"stop, {_depth(depth)}", (f"collar {figure(depth.tip_stop)} from the tip of the bit, that is "
                                         f"{figure(depth.stop)} from the rim of its cutting edge; it stops on the jig")
    if jig.kind == "end":
        yield "made for", f"sections up to {figure(jig.width)} × {figure(jig.height)}"
    else:
        yield "made for", f"faces {figure(jig.height)} broad or more, {figure(jig.width)} of wood or more behind them"


def _depth(depth: Depth) -> str:
    return "right through" if depth.through else f"{figure(depth.depth)} deep"


def _steps(jig: Jig, uses: Sequence[JigUse]) -> Iterator[str]:
    if jig.kind == "end":
        yield "Mark face side, face edge and datum end on the member; its ends are cut square and to length."
    else:
        yield ("Mark face side, face edge and datum end on the member. Lay its story stick on, zero at the datum end, and "
               "square the marks across with a knife.")
    yield "Set the stop as above, drill into scrap through the jig and measure: the full diameter must be that deep."
    if jig.kind == "end":
        yield ("Put the jig on the end: one fence flat on the face side, the other flat on the face edge, then push it "
               "along until the web lies on the end without light between. The two faces without a fence may "
               "be off in thickness.")
        if any(use.turned_over for use in uses):
            yield ("On the far end the same fences lie on the same face side and face edge; that brings the other side of "
                   "the web to the wood.")
    else:
        yield (f"Lay the plate on the face that the table names and hook the lip over the {jig.lip}, against the same "
               f"marked side every time.")
        yield ("Slide it until one sight edge stands on the line and the bushes lie on the side of the part that is joined "
               "there: the X of the story stick, “holes towards” in the table.")
    yield ("Clamp jig and member together and to the bench, across the flats; look once more at both fences."
           if jig.kind == "end" else
           "Clamp the jig to the member and both to the bench, on its flats; look once more at lip and line.")
    yield ("Drill to the stop with the bit running before it touches the bush; lift once or twice for the chips. Do not "
           "lean on the drill: the bush guides, the stop measures.")
    yield "Try a dowel dry in the first joint before drilling the rest."


def _uses(jig: Jig, uses: Sequence[JigUse]) -> Table:
    if jig.kind == "end":
        ends: dict[tuple[str, str], list[JigUse]] = {}
        for use in uses:
            ends.setdefault((_members(use), _depth(use.depth)), []).append(use)
        rows = tuple((members, " and ".join(str(use.place) for use in found), depth, "; "
                                                                                     "".join(_joints(use) for use in found))
                     for (members, depth), found in ends.items())
        return Table((Column("members", 2.4), Column("end", 2), Column("holes", 0.9), Column("joint", 3.4)), rows, _SMALL)
    lines = tuple((_members(use), str(use.place), "" if use.mark is None else figure(use.mark), str(use.towards or ""),
                   _depth(use.depth), _joints(use)) for use in uses)
    return Table((Column("members", 2.4), Column("face", 1), Column("line at", 0.8, "end"), Column("holes towards", 1.3),
                  Column("holes", 1), Column("joint", 2.6)), lines, _SMALL)


def _members(use: JigUse) -> str:
    return ", ".join(use.members)


def _joints(use: JigUse) -> str:
    return "; ".join(dict.fromkeys(joint for joint in use.joints if joint))


def _slop(slop: Slop) -> Table:
    rows = [*_shares("from the face edge", slop.across), *_shares("along, from the line", slop.along),
            *_shares("from hole to hole", slop.pair)]
    return Table((Column("direction", 1.4), Column("cause", 2.6), Column("± mm", 0.7, "end"), Column("source", 3)),
                 tuple(rows), _SMALL)


def _shares(direction: str, shares: Sequence[SlopShare]) -> Iterator[tuple[str, str, str, str]]:
    for share in shares:
        yield direction, share.cause, f"{share.amount:.3f}", share.source


def verdict(slop: Slop) -> Iterator[str]:
    """Whether dowels still enter, in a sentence for each way of working."""
    common, without = slop.pair, (*slop.pair, slop.thickness)
    for how, shares in (("Drilled from the same face side and face edge, as here", common),
                        ("Drilled from opposite faces, so that the thickness counts", without)):
        usual, most = likely(shares), worst(shares)
        answer = "the dowels enter" if most / 2 <= slop.allowed else (
            "the dowels enter by all likelihood, not at the worst" if usual / 2 <= slop.allowed else "the dowels jam")
        yield (f"{how}: two holes of a joint are off by ± {usual:.2f} (likely), ± {most:.2f} (all at their worst); each "
               f"dowel takes up half of that and puts up with {slop.allowed:.2f}: {answer}.")
