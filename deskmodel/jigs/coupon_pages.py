"""Pages of the two coupons: how the printed one is read, and how the trial joint is cut, drilled and judged."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from deskmodel.drawing.dimensions import figure, polyline, rectangle_path, width_dimension
from deskmodel.drawing.flow import Block, Column, Figure, Heading, NewPage, Paragraph, Table
from deskmodel.drawing.lettering import width_of
from deskmodel.drawing.records import Path, Record, Text
from deskmodel.jigs._types import JigPlan, Slop, likely, worst
from deskmodel.jigs.coupon import Coupon
from deskmodel.jigs.trial import TrialJoint, trial_slop
from deskmodel.profiles import circle
from deskmodel.workshop import Printer

__all__ = ["coupon_blocks", "trial_blocks"]

_SMALL = 2.2
_SCALES = (1, 2, 5, 10, 20, 50)  # 1 : n, reductions of ISO 5455 (from memory)
_ROOM = (190.0, 80.0)  # for the drawing of a trial joint
_FACE = (245, 236, 220)


def coupon_blocks(coupon: Coupon, printer: Printer, picture: Figure) -> Iterator[Block]:
    long, wide, high = coupon.body.size
    yield Heading(f"Print-calibration coupon for {coupon.bush.text}")
    yield Paragraph("Print it before the first jig: same printer, material, nozzle and layer as the jigs, flat as it lies, "
                    "no support. Let it cool on the bed, and measure where nothing touched the bed.", _SMALL)
    yield picture
    yield Heading("Seats", 2.5)
    yield Paragraph("The numbers stand on the wall; each belongs to the lying seat below it and to the standing one before "
                    "it.",
                    _SMALL)
    yield Table((Column("seat", 0.6), Column("allowance on each side", 1.2, "end"), Column("printed Ø", 1, "end"),
                 Column("remark", 3)),
                tuple((str(seat.number), figure(seat.allowance), figure(seat.diameter),
                       "what workshop.toml says now" if abs(seat.allowance - printer.seat) < 1e-6 else "")
                      for seat in coupon.seats), _SMALL)
    right = ("the tightest seat into which the bush goes with a firm press of the vice and no crack, and does not fall out "
             "again" if coupon.bush.seat == "press" else
             "the tightest seat into which the bush slides by hand without rattling")
    for i, text in enumerate((
            f"Deburr one bush. From number 5 downwards, try it in the standing seats, then in the lying ones. Right is "
            f"{right}.",
            "Standing seats are those of face jigs, lying ones those of end jigs. Where the two differ, take the looser one "
            "and fix the bush with a drop of glue.",
            "Write its allowance into workshop.toml: section [printer], key “seat”. If even number 5 is too tight, enter "
            "its allowance and print the coupon again; if number 1 rattles, the printer prints holes too large: look for "
            "the cause.",
            ), 1):
        yield Paragraph(text, _SMALL, mark=str(i))
    yield Heading("Lengths, gaps, walls", 2.5)
    yield Table((Column("measure", 1.5), Column("should be", 1.3), Column("if it is not", 3.6)), (
        ("length, width", f"{figure(long)} × {figure(wide)}", "more than 0.2 off: correct the printer's scale in x or y; a "
         "jig's two bushes are off by the same share"),
        ("height", figure(high), "more than 0.2 off: correct the scale in z"),
        ("slits in the front edge", ", ".join(figure(width) for width, _ in coupon.slits),
         "the narrowest that light comes through is the nearest that two printed faces may come; all closed: too much "
         "material is fed"),
        ("fins", ", ".join(figure(thick) for thick, _ in coupon.fins),
         f"the thinnest that is closed and stiff is the least wall: if it is thicker than {figure(printer.wall)}, enter it "
         "in workshop.toml, section [printer], key “wall”"),
        ("roofs of the lying seats", "45°, no threads hanging", "threads: cooler, slower; the bush must not meet them"),
    ), _SMALL)
    yield Paragraph("Calliper jaws and printed edges are sharp; a bush that is pressed in can split the coupon: vice, eye "
                    "protection. Follow the makers' instructions of printer and material.", _SMALL, mark="–")


def trial_blocks(trials: Sequence[TrialJoint], plan: JigPlan) -> Iterator[Block]:
    """A page for each."""
    for i, trial in enumerate(trials):
        if i:
            yield NewPage()
        yield from _trial_blocks(trial, plan, trial_slop(trial, plan))


def _trial_blocks(trial: TrialJoint, plan: JigPlan, slop: Slop) -> Iterator[Block]:
    end, face = plan.jig(trial.entering.jig), plan.jig(trial.carrying.jig)
    (w0, h0), (w1, h1) = trial.sections
    dowel = trial.dowel or f"dowel Ø {end.diameter:g}"
    yield Heading(f"Trial joint: {end.label} with {face.label}")
    yield Paragraph(f"Before the first member: make this joint in two offcuts of the same wood, planed in the same setting "
                    f"as the members. It stands for {len(trial.joints)} {'joint' if len(trial.joints) == 1 else 'joints'} "
                    "of the desk.",
                    _SMALL)
    yield _figure(trial)
    yield Table((Column("offcut", 1), Column("wood", 2), Column("jig", 0.7), Column("holes", 1.6), Column("stop", 2.4)), (
        ("A, enters", f"{trial.materials[0]} {figure(w0)} × {figure(h0)} × {figure(trial.lengths[0])}", end.label,
         f"{len(trial.entering.holes)} × Ø {end.diameter:g}, {figure(trial.entering.depth.depth)} deep",
         f"{figure(trial.entering.depth.tip_stop)} from the tip of the bit"),
        ("B, carries", f"{trial.materials[1]} {figure(w1)} × {figure(h1)} × {figure(trial.lengths[1])}", face.label,
         f"{len(trial.carrying.holes)} × Ø {face.diameter:g}, {figure(trial.carrying.depth.depth)} deep",
         f"{figure(trial.carrying.depth.tip_stop)} from the tip of the bit")), _SMALL)
    steps = (
        "Cut both square. Mark face side, face edge and datum end on both, as on a member.",
        f"Draw the line on the {trial.place} of B, {figure(trial.mark)} from its datum end, with square and knife; "
        f"put an X on the side towards the far end.",
        f"Clamp, then drill B with {face.label}, one sight edge on the line, the bushes on the side of the X; drill A with "
        f"{end.label} on its datum end.",
        f"Blow the holes out and measure their depth. Put {trial.count} × {dowel} in dry, push the joint together by hand, "
        f"last tenths with a light clamp. No glue.",
    )
    for i, text in enumerate(steps, 1):
        yield Paragraph(text, _SMALL, mark=str(i))
    yield Table((Column("look at", 1.6), Column("right", 1.5), Column("if not", 3.4)), tuple(_judged(slop)), _SMALL)
    yield Paragraph("Repeat it after every change of bit, bush, stop or jig. Clamp both offcuts, no hand near where the bit "
                    "comes out, eye protection, dust extraction; the makers' instructions of the tools come first.",
                    _SMALL, mark="–")


def _judged(slop: Slop) -> Iterator[tuple[str, str, str]]:
    across, along = (f"within {likely(shares):.1f}, at worst {worst(shares):.1f}" for shares in (slop.across, slop.along))
    yield ("face edges of A and B", across, "both jigs on the same face edge? fuzz under a fence or lip? Then the "
           "printed seats: measure both bushes from the fence and the lip")
    yield ("face side of A against the line on B", along, "sight edge beside the line, or A's fence off its face "
           "side; if it is always the same amount, shift the lines by it")
    yield ("shoulder closed all round", "no light", "dowels bottom: holes too shallow, set the stop again; A leans: its end "
           "is not square, or the jig was not flat on it")
    yield ("dowels", "go in by a firm push of the hand", "jam: bushes too far from each other or holes not parallel; "
           "rattle: bit worn or bush worn out")
    yield ("A square on B", "no light in a 90° square", "the web was not flat on the end, or chips below the jig")


def _figure(trial: TrialJoint) -> Figure:
    """Both offcuts as large as they go: B's drilled face, and A's end beside a side of it."""
    made = [_drawn(trial, float(n)) for n in _SCALES]
    return next((each for each in made if each.size[0] <= _ROOM[0] and each.size[1] <= _ROOM[1]), made[-1])


def _drawn(trial: TrialJoint, n: float) -> Figure:
    """At 1 : ``n``, B with the edge under the lip upwards."""
    (w0, h0), (w1, h1) = trial.sections
    long0, long1 = trial.lengths
    broad = w1 if trial.place in ("face edge", "under edge") else h1
    hole = trial.diameter / n
    x, y = 6.0, 6.0
    top = y + broad / n
    left = trial.place in ("face side", "under edge")  # where the datum end is then seen
    way = 1 if trial.towards == "far end" else -1

    def along(distance: float) -> float:
        return x + (distance if left else long1 - distance) / n

    line, datum = along(trial.mark), along(0.0)
    records: list[Record] = [
        rectangle_path("visible", x, y, x + long1 / n, top, _FACE),
        Text("B", (along(long1) + (-5 if left else 2), y + 2), 3.5, bold=True),
        polyline("cut", (line, y - 2.0), (line, top + 2.0)), *_cross(along(trial.mark + way * 8.0), y - 3.0),
        *width_dimension(min(line, datum), max(line, datum), top + 6.0, figure(trial.mark), 2.2, from_y=top),
        Text("datum end", (datum + (-1.5 if left else 3.7), y + broad / n / 2), 2.2, "middle", 90),
        Text("face edge" if trial.place in ("face side", "back side") else "face side",
             (along(long1) + (-1 if left else 1), top + 1.2), 2.2, "end" if left else "start")]
    for i, (_, v) in enumerate(trial.carrying.holes):
        u = trial.entering.holes[min(i, len(trial.entering.holes) - 1)][0]
        middle = along(trial.mark + way * u)
        records += _hole((middle, top - v / n), hole, figure(v), middle + w0 / n / 2 + 2.0)
    x += long1 / n + 16.0
    top = y + h0 / n
    records += [rectangle_path("visible", x, y, x + w0 / n, top, _FACE),
                Text("end of A", (x + w0 / n / 2, top + 4.6), 2.2, "middle"),
                Text("face edge", (x + w0 / n / 2, top + 1.2), 2.2, "middle"),
                Text("face side", (x + w0 / n + 3.7, y + h0 / n / 2), 2.2, "middle", 90)]  # as the datum end is seen
    for u, v in trial.entering.holes:
        records += _hole((x + (w0 - u) / n, top - v / n), hole, figure(v), x - 1.5 - width_of(figure(v), 2.2))
    x += w0 / n + 14.0
    records += [rectangle_path("visible", x, y, x + long0 / n, top, _FACE),
                Text("A", (x + long0 / n - 5, y + 2), 3.5, bold=True),
                *width_dimension(x, x + long0 / n, top + 6.0, figure(long0), 2.2, from_y=top),
                Text("datum end", (x - 1.5, y + h0 / n / 2), 2.2, "middle", 90)]
    deep = trial.entering.depth.depth / n
    for _, v in trial.entering.holes:
        records.append(rectangle_path("hidden", x, top - v / n - hole / 2, x + deep, top - v / n + hole / 2))
    records = list(dict.fromkeys(records))  # holes beside each other have one figure
    return Figure(tuple(records), (x + long0 / n + 1.0, max(broad, h0) / n + y + 10.5))


def _hole(middle: tuple[float, float], diameter: float, text: str, x: float) -> Iterator[Record]:
    """Its distance from the face edge stands at ``x``."""
    yield Path("thin", (circle(diameter, middle).vertices,), (255, 255, 255))
    yield Text(text, (x, middle[1] - 1.1), 2.2)


def _cross(x: float, y: float) -> Iterator[Record]:
    for sign in (1, -1):
        yield polyline("visible", (x - 1.6, y - 1.6 * sign), (x + 1.6, y + 1.6 * sign))
