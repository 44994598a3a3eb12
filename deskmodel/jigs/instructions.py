"""How a jig is used, as text and tables for one page; the figure comes from whoever has its mesh."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing.dimensions import figure
from deskmodel.drawing.flow import Block, Column, Figure, Heading, Paragraph, Table
from deskmodel.jigs._types import CAUTIONS, Depth, Jig, JigUse, Slop
from deskmodel.jigs.slop import slop_text

__all__ = ["how_to_use"]

_SMALL = 2.2


def how_to_use(jig: Jig, uses: Sequence[JigUse], mates: Sequence[tuple[str, Slop]], picture: Figure) -> Iterator[Block]:
    """``uses``: all of this jig. ``mates``: the jigs that drill the other halves of its joints, and how exact those are."""
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
    for label, slop in mates:
        yield Paragraph(f"With {label}: {' '.join(slop_text(slop))}", _SMALL)
    if not mates:
        yield Paragraph("No joint of the desk is drilled with this jig in one half and another jig in the other, so there "
                        "is nothing to add up.", _SMALL)
    yield Heading("Where it is used", 2.5)
    yield _uses(jig, uses)
    for label, slop in mates:
        yield Heading(f"What makes it be off, with {label}", 2.5)
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
    """A row for each cause, in the order in which they are first named."""
    shares = (slop.across, slop.along, slop.pair)
    causes = {share.cause: share.source for kind in shares for share in kind}
    rows = [(cause, *(_amounts([share.amount for share in kind if share.cause == cause]) for kind in shares), source)
            for cause, source in causes.items()]
    rows.append((f"{slop.thickness.cause}, only from opposite faces", f"{slop.thickness.amount:.3f}", "",
                 f"{slop.thickness.amount:.3f}", slop.thickness.source))
    return Table((Column("cause, ± mm", 3), Column("across", 0.8, "end"), Column("along", 0.8, "end"),
                  Column("hole to hole", 1.2, "end"), Column("source", 3.4)), tuple(rows), _SMALL)


def _amounts(amounts: Sequence[float]) -> str:
    if not amounts:
        return ""
    return f"{amounts[0]:.3f}" if len(amounts) == 1 else f"{len(amounts)} × {amounts[0]:.3f}"
