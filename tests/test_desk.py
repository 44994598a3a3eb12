"""The desk as a script fills it: whatever is handed over is taken, or refused by InputFault; nothing is dropped."""

from __future__ import annotations

import inspect
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from deskmodel import (
    Bevel,
    Bond,
    Cover,
    CustomShape,
    CutOut,
    Desk,
    DowelJoint,
    Hole,
    InputFault,
    InsertFixing,
    Member,
    Plate,
    Rest,
    component,
    custom,
    read_sheet,
    rectangle,
)
from deskmodel.component._named import sheet_file
from deskmodel.desk import Placed
from deskmodel.model import freeze, write_json
from tests.desks.small import SHEETS
from tests.hostile import HOSTILE, refused


def start() -> tuple[Desk, Placed, Placed, Placed]:
    d = Desk("d")
    a = d.place(Member("a", (22, 60), 300, "ash"), at=(0, 0, 0))
    b = d.place(Member("b", (22, 60), 300, "ash"), at=(0, 22, 0))
    p = d.place(Plate("p", rectangle(300, 44), 1.5, "steel"), at=(0, 0, -1.5))
    return d, a, b, p


CALLS: dict[str, Callable[[object], object]] = {
    "name": lambda v: Desk(v), "envelope": lambda v: Desk("d", envelope=v),
    "part": lambda v: start()[0].place(v, at=(0, 0, 0)),
    "at": lambda v: start()[0].place(Member("c", (22, 60), 300, "ash"), at=v),
    "at x": lambda v: start()[0].place(Member("c", (22, 60), 300, "ash"), at=(v, 0, 0)),
    "along": lambda v: start()[0].place(Member("c", (22, 60), 300, "ash"), at=(0, 0, 0), along=v),
    "turn": lambda v: start()[0].place(Member("c", (22, 60), 300, "ash"), at=(0, 0, 0), turn=v),
    "cover at": lambda v: start()[0].place(Cover("c", (100, 100)), at=v),
    "cover turn": lambda v: start()[0].place(Cover("c", (100, 100)), at=(0, 0, 0), turn=v),
    "cover along": lambda v: start()[0].place(Cover("c", (100, 100)), at=(0, 0, 0), along=v),
    "cover size": lambda v: Cover("c", v), "cover back": lambda v: Cover("c", (100, 100), backing=v),
    "cover set back": lambda v: Cover("c", (100, 100), set_back=v), "cover lift": lambda v: Cover("c", (100, 100), lift=v),
    "joint": lambda v: start()[0].join(v), "cut": lambda v: start()[0].cut("a", v),
    "cut what": lambda v: start()[0].cut(v, Hole("face side", (50, 30), 8)),
    "bore": lambda v: start()[0].bore(v, "y", (50, 0, 30), 8), "through": lambda v: start()[0].bore("a", v, (50, 0, 30), 8),
    "bore at": lambda v: start()[0].bore("a", "y", v, 8), "bored": lambda v: start()[0].bore("a", "y", (50, 0, 30), v),
    "gap a": lambda v: start()[0].require_gap(v, "a", 5, "air"), "gap b": lambda v: start()[0].require_gap("a", v, 5, "air"),
    "gap": lambda v: start()[0].require_gap("a", "b", v, "air"), "gap why": lambda v: start()[0].require_gap("a", "b", 5, v),
    "clear name": lambda v: start()[0].keep_clear(v, (0, 0, 0), (1, 1, 1), "r"),
    "clear at": lambda v: start()[0].keep_clear("k", v, (1, 1, 1), "r"),
    "clear size": lambda v: start()[0].keep_clear("k", (0, 0, 0), v, "r"),
    "clear why": lambda v: start()[0].keep_clear("k", (0, 0, 0), (1, 1, 1), v),
    "cable": lambda v: start()[0].cable(v, 5, [(0, 0, 0), (9, 0, 0)]),
    "cable wide": lambda v: start()[0].cable("k", v, [(0, 0, 0), (9, 0, 0)]), "run": lambda v: start()[0].cable("k", 5, v),
    "run to": lambda v: start()[0].cable("k", 5, [(0, 0, 0), v]),
    "bay": lambda v: start()[0].bay(v, (0, 1), (0, 1)), "bay x": lambda v: start()[0].bay("B", v, (0, 1)),
    "bay y": lambda v: start()[0].bay("B", (0, 1), v), "bay to": lambda v: start()[0].bay("B", (0, v), (0, 1)),
    "accept": lambda v: start()[0].accept(v, "a", "why"),
    "accept of": lambda v: start()[0].accept("gap-too-small", v, "why"),
    "accept why": lambda v: start()[0].accept("gap-too-small", "a", v),
    "dowel a": lambda v: DowelJoint(v, "b"), "dowel b": lambda v: DowelJoint("a", v),
    "dowel": lambda v: DowelJoint("a", "b", v),
    "count": lambda v: DowelJoint("a", "b", count=v), "depths": lambda v: DowelJoint("a", "b", depths=v),
    "positions": lambda v: DowelJoint("a", "b", positions=v), "fix": lambda v: InsertFixing(v, "a"),
    "fix to": lambda v: InsertFixing("p", v), "fix by": lambda v: InsertFixing("p", "a", v),
    "fix pitch": lambda v: InsertFixing("p", "a", pitch=v), "fix in": lambda v: InsertFixing("p", "a", insert=v),
    "fix at": lambda v: InsertFixing("p", "a", at=v), "bond": lambda v: Bond(v, "a"), "bond to": lambda v: Bond("p", v),
    "glue": lambda v: Bond("p", "a", v), "glue thick": lambda v: Bond("p", "a", thickness=v), "rest": lambda v: Rest(v, "a"),
    "rest on": lambda v: Rest("p", v), "held": lambda v: Rest("p", "a", held=v), "pad": lambda v: Rest("p", "a", pad=v),
    "sheet name": lambda v: read_sheet(SHEETS / "loudspeaker.toml", v),
    "custom material": lambda v: custom("c", "hostile.py", "f", v),
    "custom name": lambda v: custom(v, "hostile.py", "f", "PLA"),
    "custom function": lambda v: custom("c", "hostile.py", v, "PLA"), "custom script": lambda v: custom("c", v, "f", "PLA"),
    "custom number": lambda v: custom("c", "hostile.py", "f", "PLA", size=v),
    "custom printed": lambda v: custom("c", "hostile.py", "f", "PLA", printed=v),
}


@pytest.mark.parametrize("call", CALLS)
def test_any_value_is_taken_or_refused(call: str) -> None:
    answers = [refused(lambda value=value: CALLS[call](value)) for value in HOSTILE]
    assert sum(answers) > len(HOSTILE) / 4, "nearly anything is taken"


@pytest.mark.parametrize("call", [call for call in CALLS if call not in {"sheet name"}])
@pytest.mark.parametrize("value", [math.nan, math.inf, object(), 3 + 4j, -1, b"12", {1, 2}],
                         ids=lambda value: "object" if type(value) is object else repr(value))
def test_nonsense_is_never_taken(call: str, value: object) -> None:
    if value == -1 and call in {"at x", "turn", "custom number"}:
        return  # to the left of 0; one degree back; a parameter of the maker's own
    with pytest.raises(InputFault):
        CALLS[call](value)


def test_arrays_will_do_for_tuples() -> None:
    plain, numpy = Desk("d", envelope=(300, 44, 60)), Desk("d", envelope=np.array([300, 44, 60]))
    for d, seq in ((plain, tuple), (numpy, np.array)):
        a = d.place(Member("a", (22, 60), 300, "ash"), at=seq([0.0, 0.0, 0.0]))
        d.bore(a, "y", seq([50, 0, 30]), 8)
        d.keep_clear("k", seq([1, 2, 3]), seq([4.5, 5, 6]), "hand")
        d.cable("c", 5, [seq([0, 0, 100]), seq([9, 0, 100])])
        d.place(CustomShape("c", custom("c", "hostile.py", "f", "PLA").blank, "PLA"), at=seq([7, 8, 9]))
    assert write_json(freeze(plain)[0]) == write_json(freeze(numpy)[0])


def test_a_part_of_another_desk_is_refused() -> None:
    d, a, b, p = start()
    _, other, _, _ = start()
    assert other == a  # alike in every number
    for call in (lambda: d.join(DowelJoint(other, b)), lambda: d.join(Bond(p, [a, other.__class__("b", b.box, start()[0])])),
                 lambda: d.cut(other, Hole("face side", (50, 30), 8)), lambda: d.require_gap(other, b, 5, "air"),
                 lambda: d.bore(other, "y", (50, 0, 30), 8)):
        with pytest.raises(InputFault, match="not placed in this desk"):
            call()
    d.join(DowelJoint("a", Placed("b", b.box), "8x30"))  # by name, or by hand, is allowed
    assert freeze(d)[0].joints


def test_nothing_is_joined_or_asked_twice() -> None:
    d, a, b, _ = start()
    d.join(DowelJoint(a, b))
    with pytest.raises(InputFault, match="the same joint twice"):
        d.join(DowelJoint(a, b))
    d.join(DowelJoint(a, b, positions=(7, 47)))  # another row is another joint
    with pytest.raises(InputFault, match="a second part named 'a'"):
        d.place(Member("a", (22, 60), 300, "ash"), at=(0, 100, 0))
    d.cable("lead", 5, [(0, 0, 100), (9, 0, 100)])
    with pytest.raises(InputFault, match="a second keep-out"):
        d.cable("lead", 5, [(0, 0, 100), (9, 0, 100)])
    d.keep_clear("room", (0, 0, 100), (5, 5, 5), "hand")
    with pytest.raises(InputFault):
        d.place(Member("room", (22, 60), 300, "ash"), at=(0, 100, 0))
    with pytest.raises(InputFault):
        d.keep_clear("a", (0, 0, 100), (5, 5, 5), "hand")


def test_empty_lists_join_nothing_and_say_so() -> None:
    d, a, _, p = start()
    for call in (lambda: InsertFixing(p, []), lambda: Bond(p, ()), lambda: Rest(p, []),
                 lambda: d.require_gap(a, [], 5, "air"),
                 lambda: d.require_gap(d.components, a, 5, "air"), lambda: d.require_gap(a, a, 5, "air"), lambda: d.cut(a),
                 lambda: d.accept("gap-too-small", [], "why"), lambda: d.cable("k", 5, [(0, 0, 0)]),
                 lambda: d.cable("k", 5, [(0, 0, 0), (0, 0, 0)])):
        with pytest.raises(InputFault):
            call()


def test_a_gap_between_lists_leaves_out_each_part_and_itself() -> None:
    d, a, b, _ = start()
    d.require_gap([a, b], d.members, 5, "air")
    assert [(g.a, g.b) for g in d.gaps] == [("a", "b"), ("b", "a")]


def test_lists_changed_afterwards_change_nothing() -> None:
    d = Desk("d")
    at, section, between, place = [50.0, 30.0], [22, 60], ["face edge", "face side"], [0, 0, 0]
    rail = d.place(Member("rail", section, 300, "ash"), at=place)
    d.cut(rail, Hole("face side", at, 8), Bevel(between, 3))
    before = write_json(freeze(d)[0])
    at[0], section[0], place[0], between[1] = 90.0, 40, 7, "back side"
    d.cut(rail, Hole("face side", np.array(at), 8, counterbore=[12, np.float64(3)]))
    model = freeze(d)[0]
    assert sorted(f.at[0] for f in model.part("rail").part.features if isinstance(f, Hole)) == [50, 90]
    assert model.part("rail").part.section == (22, 60)
    assert '"between": ["face edge", "face side"]' in before
    assert '"between": ["face edge", "face side"]' in write_json(model)


def test_a_set_has_no_order() -> None:
    d, a, b, p = start()
    for call in (lambda: InsertFixing(p, {a, b}), lambda: Bond(p, frozenset([a])), lambda: d.require_gap({a}, b, 5, "air"),
                 lambda: d.cable("k", 5, {(0, 0, 0), (9, 0, 0)})):
        with pytest.raises(InputFault):
            call()


def test_acceptances() -> None:
    d, a, b, _ = start()
    d.accept("gap-too-small", "a", "one by name")
    d.accept("gap-too-small", (b, a), "two")
    assert [acceptance.parts for acceptance in d.acceptances] == [("a",), ("a", "b")]
    freeze(d)
    line = inspect.currentframe().f_lineno + 1
    d.accept("gap-too-small", [a, "nobody"], "a slip")
    with pytest.raises(InputFault, match="'nobody'") as caught:
        freeze(d)
    assert (caught.value.file, caught.value.line) == (__file__, line)
    d, a, b, _ = start()
    d.join(DowelJoint(a, b, "8x30"))
    d.accept("parts-overlap", ["a", "a to b, dowel 1"], "hardware has names, too")
    assert freeze(d)[0].acceptances


def test_place_puts_the_lowest_corner_after_turning() -> None:
    # closed form: a box of 300 x 22 x 60 turned by right angles is a box of the permuted sides
    sides = {"x": (300, 22, 60), "y": (22, 300, 60), "z": (60, 22, 300)}
    for along, (sx, sy, sz) in sides.items():
        for sign in ("", "-"):
            for turn in (0, 90, 180, 270, -90, 360):
                d = Desk("d")
                box = d.place(Member("m", (22, 60), 300, "ash"), at=(10, 20, 30), along=sign + along, turn=turn).box
                assert box[0] == (10, 20, 30)
                size = [h - low for low, h in zip(*box, strict=True)]
                if turn % 180:
                    across = [i for i in range(3) if "xyz"[i] != along]
                    size[across[0]], size[across[1]] = size[across[1]], size[across[0]]
                assert size == [sx, sy, sz]


def test_a_sheet_that_lies_one_folder_too_high(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "equipment").mkdir()
    (tmp_path / "parts").mkdir()
    (tmp_path / "equipment/lamp.toml").write_bytes((SHEETS / "loudspeaker.toml").read_bytes())
    with pytest.raises(InputFault) as told:
        sheet_file(tmp_path / "parts", "lamp")
    assert str(tmp_path / "equipment") in told.value.problem
    assert told.value.allowed == f"a sheet in {tmp_path / 'parts/equipment'}"
    assert sheet_file(tmp_path, "lamp") == tmp_path / "equipment/lamp.toml"


def test_components_by_name_beside_the_script_and_by_path() -> None:
    assert component(str(SHEETS / "loudspeaker.toml")).name == "loudspeaker"
    with pytest.raises(InputFault, match="no sheet 'loudspeaker' in equipment/; allowed"):
        component("loudspeaker")  # no equipment/ beside this file
    with pytest.raises(InputFault, match=r"in equipment/; did you mean 'loudspeaker.toml'\?"):
        component(str(SHEETS / "loudspeker.toml"))
    for name in ("a\0b", "x" * 5000, "a\0b.toml", ""):
        with pytest.raises(InputFault, match="no sheet"):
            component(name)
    with pytest.raises(InputFault, match="no file"):
        custom("c", "nowhere.py", "f", "PLA")


def test_a_fault_names_its_part() -> None:
    d = Desk("d")
    rail = d.place(Member("front rail", (22, 60), 300, "ash"), at=(0, 0, 0))
    with pytest.raises(InputFault, match="'front rail': hole '12 V bore' leaves its blank"):
        d.bore(rail, "y", at=(299, 0, 30), diameter=12, name="12 V bore")
    with pytest.raises(InputFault, match="'front rail': face 'front'"):
        d.cut(rail, Hole("front", (10, 10), 5))
    with pytest.raises(InputFault, match="'front rail': cut-out"):
        Member("front rail", (22, 60), 300, "ash", (CutOut(rectangle(400, 10), "face side"),))


def test_a_custom_shape_takes_no_features() -> None:
    d = Desk("d")
    c = d.place(custom("c", "hostile.py", "f", "PLA"), at=(0, 0, 0))
    with pytest.raises(InputFault, match="custom shape"):
        d.cut(c, Hole("top", (5, 5), 3))


def test_bays_lie_beside_each_other_and_have_names_of_their_own() -> None:
    d = start()[0]
    assert d.bay("B1", x=(0, 100), y=[0, 50]) == d.bays[0]
    d.bay("B2", x=(100, 200), y=(0, 50))  # a common side is none of both
    d.keep_clear("room", (0, 0, 0), (1, 1, 1), "hand")
    for name, x, y in (("B3", (99, 150), (0, 50)), ("B3", (-10, 300), (-10, 60)), ("B1", (300, 400), (0, 50)),
                       ("a", (300, 400), (0, 50)), ("room", (300, 400), (0, 50)), ("B3", (400, 300), (0, 50)),
                       ("B3", (300, 300), (0, 50)), ("B3", (300, 400, 500), (0, 50))):
        with pytest.raises(InputFault):
            d.bay(name, x=x, y=y)
    with pytest.raises(InputFault, match="'B1'"):
        d.place(Member("B1", (22, 60), 300, "ash"), at=(0, 500, 0))
    with pytest.raises(InputFault, match="'B1'"):
        d.keep_clear("B1", (0, 0, 0), (1, 1, 1), "hand")
    d.accept("bay-walls-apart", ["B1"], "the wall comes later")
    model, lines = freeze(d)
    assert [bay.name for bay in model.bays] == ["B1", "B2"]
    assert lines["B1"].startswith("test_desk.py:")
