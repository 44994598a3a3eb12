"""The worked desk: what it holds, that it is clean at every size it promises, rules of the trade, mass by a second way."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from deskmodel.component import Component
from deskmodel.features import Groove, Hole, Notch, VentField
from deskmodel.fit import FitEngine
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.plans.bays import bay_rows
from deskmodel.session.run import Checked, Session
from deskmodel.session.script import load_script
from deskmodel.solids.part_shape import shape_of

PARTS = Path(__file__).parent.parent / "parts"
SIZES: list[dict[str, str]] = [
    {}, {"width": "1700", "depth": "760", "computer": "laptop-dock"}, {"width": "1460"}, {"width": "1700"},
    {"depth": "760"}, {"computer": "laptop-dock"}, {"width": "1460", "computer": "laptop-dock"}]


@cache
def session() -> Session:
    return Session(engine=FitEngine())


@cache
def checked(**parameters: str) -> Checked:
    return session().check(session().load(load_script(PARTS / "desk.py", texts=parameters)))


def findings(run: Checked) -> list[tuple[str, str, tuple[str, ...]]]:
    """All but the accepted ones."""
    return [(f.id, f.severity, f.parts) for outcome in run.outcomes for f in outcome.findings if f.accepted is None]


def desk() -> DeskModel:
    return checked().loaded.model


def clean(size: dict[str, str]) -> None:
    run = checked(**size)
    assert findings(run) == []
    assert [(o.id, o.outcome) for o in run.outcomes if o.outcome != "passed"] == [("insert-near-edge", "findings")]
    accepted = [f for outcome in run.outcomes for f in outcome.findings]
    assert {parts for f in accepted for parts in f.parts} == {"C3 cover", "back", "cross BC", "cross CD"}
    assert all(f.accepted and "epoxy" in f.accepted for f in accepted)
    assert len(run.loaded.model.parts) >= 350


@pytest.mark.parametrize("size", SIZES[:2], ids=[str(size) for size in SIZES[:2]])
def test_it_is_clean(size: dict[str, str]) -> None:
    clean(size)


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES[2:], ids=[str(size) for size in SIZES[2:]])
def test_it_is_clean_at_every_size(size: dict[str, str]) -> None:
    clean(size)


def test_a_little_narrower_than_promised_one_stop_says_what_hinders() -> None:
    assert findings(checked(width="1459.9")) == [("gap-too-small", "stop", ("log-book tray", "right end"))]


@pytest.mark.slow
@pytest.mark.parametrize("width", ["1459", "1456", "1455.9", "1450", "1446"])
def test_narrower_than_promised_one_stop_says_what_hinders(width: str) -> None:
    (_, severity, parts), = findings(checked(width=width))
    assert (severity, set(parts)) == ("stop", {"log-book tray", "right end"})


def test_what_it_holds() -> None:
    model = desk()
    hardware = Counter(getattr(part.part, "kind", None) for part in model.parts if part.role == "hardware")
    members = [part.name for part in model.parts if part.role == "member"]
    frame = [name for name in members if not name.endswith(("block", "leg", "bearer"))]
    assert len(frame) == 21
    assert hardware["dowel"] == 72
    fixings = [joint for joint in model.joints if joint.name.startswith("under-plate fixing")]
    assert sum(len(joint.hardware) for joint in fixings) / 2 == pytest.approx(84, abs=8)
    assert {joint.kind for joint in model.joints} >= {
        "dowel joint", "insert fixing", "wood-screw fixing", "stand-off mount", "screw mount", "bond", "laminate", "rest",
        "hinge", "cover screws", "leg mount"}
    components = [part.part for part in model.parts if isinstance(part.part, Component)]
    assert len(components) >= 20
    assert len({part.sheet for part in components if len(part.bodies) == 1}) <= 3
    assert all("invented" in part.source for part in components)
    rooms = {room.keep_out.kind for room in model.keep_outs}
    assert rooms >= {"plug", "air", "service", "cable", "no-metal"}
    under = model.part("under-plate").part
    fields = {f.name: len(f.centres()) for f in under.features if isinstance(f, VentField)}
    assert (fields["B1 vents"], fields["B3 vents"]) == (300, 21 * 15 - 8)  # the fans' screws take the place of eight
    assert sorted({joint.kind for joint in model.joints if "leg plate" in joint.name}) == ["leg mount", "wood-screw fixing"]
    assert [lift.cover for lift in model.lifts if lift.tool] == ["C3 cover"]
    assert [turning.cover for turning in model.swings] == ["E2 cover"]


def dowel_holes(model: DeskModel) -> Iterator[tuple[str, Hole]]:
    for part in model.parts:
        if part.role == "member":
            yield from ((part.name, f) for f in part.part.features if isinstance(f, Hole) and f.purpose == "dowel")


def test_dowels_stand_15_and_45_from_the_face_edge_16_and_26_deep() -> None:
    """Trade rule (common practice): in a 22 mm member the face hole is 6 less deep than it is thick, the end hole takes
    the rest of the 40 mm dowel and 2 of glue space; two dowels in 60 of height stand at the quarters."""
    holes = list(dowel_holes(desk()))
    assert len(holes) == 144
    for name, hole in holes:
        assert 60 - hole.at[1] in (15, 45), name  # v of ends and sides is the height above the under edge
        assert hole.depth == (26 if hole.face.endswith("end") else 16), name


def test_opposed_dowel_lines_are_22_apart() -> None:
    """Two 16 deep holes from both faces of a 22 mm member would meet (common practice: 16 apart or one through dowel)."""
    for upright in ("cross AB", "cross BC", "cross CD", "cross DE"):
        sides: dict[str, set[float]] = {}
        for name, hole in dowel_holes(desk()):
            if name == upright and hole.face.endswith("side"):
                sides.setdefault(hole.face, set()).add(hole.at[0])
        front, back = sides.values()
        assert min(abs(a - b) for a in front for b in back) >= 22 - 1e-9, upright


def test_no_cut_takes_the_wood_round_a_dowel() -> None:
    """Notches, rebates and bores keep 3 mm of wood round every dowel hole with its drill point (common practice). Boxes
    stand for the cuts."""
    model = desk()
    for part in model.parts:
        if part.role != "member":
            continue
        features = part.part.features
        dowels = [r.bounds for f in features if isinstance(f, Hole) and f.purpose == "dowel"
                  for r in f.removals(part.part.blank)]
        others = [(f.name, r.bounds) for f in features if isinstance(f, Notch | Groove | Hole) and f.purpose != "dowel"
                  for r in f.removals(part.part.blank)]
        for low, high in dowels:
            for name, (a, b) in others:
                apart = max(max(low[i] - b[i], a[i] - high[i]) for i in range(3))
                assert apart >= 3 - 1e-9, (part.name, name, apart)


BAYS = {
    "A1": (230, 122), "A2": (230, 174), "A3": (230, 178), "A4": (230, 106), "B1": (184, 158), "B2": (184, 188),
    "B3": (184, 256), "C1": (520, 180), "C2": (520, 312), "C3": (520, 110), "D1": (184, 70), "D2": (184, 128),
    "D3": (184, 220), "D4": (184, 140), "E1": (230, 122), "E2": (230, 306), "E3": (230, 174),
}


def test_the_bay_table() -> None:
    """Clear length and width from the plan's own lines; height: 60 of member and 0.5 of pad, less 0.15 of glue and 6 of
    ply under a cover."""
    table = {row.bay.name: row for row in bay_rows(desk())}
    assert {name: row.clear[:2] for name, row in table.items()} == {
        name: pytest.approx(size) for name, size in BAYS.items()}
    for name in BAYS.keys() - {"A4", "C2", "D1"}:
        assert table[name].clear[2] == pytest.approx(60 + 0.5 - 0.15 - 6)
    assert table["B2"].equipment == ("computer",)
    assert "front left block" in table["A1"].blocks


def test_mass_by_the_kernel() -> None:
    """Each part's kernel volume times its density, equipment by its sheet."""
    model = desk()
    total = 0.0
    for part in model.parts:
        if isinstance(part.part, Component):
            total += part.part.mass
            continue
        properties = GProp_GProps()
        BRepGProp.VolumeProperties_s(shape_of(part.part).build(), properties)
        density = material(part.part.material).density
        assert density is not None
        total += properties.Mass() * density * 1e-9
    mass = checked().mass
    assert mass is not None
    assert mass.unknown == {}
    assert mass.kg == pytest.approx(total, rel=1e-6)


def test_mini_itx_holes_lie_where_the_form_factor_says() -> None:
    """Pitches of holes C, F, H, J from the published microATX and Mini-ITX drawings: 157.48 (F to C and J to H across) and
    154.94 (C to H), 132.08 (F to J)."""
    model = desk()
    board = model.part("computer").part
    x, y = zip(*sorted(f.at for f in board.features if isinstance(f, Hole)), strict=True)
    assert sorted({round(a, 2) for a in x}) == [6.17, 163.65]
    assert max(x) - min(x) == pytest.approx(157.48)
    right = sorted(b for a, b in zip(x, y, strict=True) if a > 100)
    left = sorted(b for a, b in zip(x, y, strict=True) if a < 100)
    assert sorted([right[1] - right[0], left[1] - left[0]]) == pytest.approx([132.08, 154.94])
