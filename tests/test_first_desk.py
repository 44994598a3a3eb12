"""The first worked desk: what it holds, and that it is clean also at other sizes. That the exact kernel agrees is asked in
tests/planted."""

from __future__ import annotations

from collections import Counter

import pytest

from deskmodel.features import Hole, VentField
from deskmodel.fit import FitEngine
from tests.planted.harness import PARTS, check_model, edited_desk

SIZES = [{}, {"width": 960, "depth": 500}, {"width": 840, "depth": 430, "height": 58}, {"height": 80}]


def test_what_it_holds() -> None:
    model, lines = edited_desk(PARTS)
    roles = Counter(part.role for part in model.parts)
    hardware = Counter(getattr(part.part, "kind", None) for part in model.parts if part.role == "hardware")
    assert len(model.parts) >= 120
    assert roles["member"] == 8
    assert {part.part.blank.width for part in model.parts if part.role == "member"} == {22.0}
    assert {part.part.blank.height for part in model.parts if part.role == "member"} == {60.0}
    assert hardware["dowel"] >= 24
    assert hardware["insert"] == hardware["screw"] >= 30
    assert (roles["component"], roles["cover"], roles["backing"]) == (4, 2, 2)
    assert {k.keep_out.kind for k in model.keep_outs} >= {"plug", "air", "cable"}
    under = model.part("under-plate").part
    assert sum(f.columns * f.rows for f in under.features if isinstance(f, VentField)) == 120
    bores = [f for part in model.parts for f in part.part.features if isinstance(f, Hole) and f.purpose == "cable"]
    assert len(bores) == 3
    assert set(lines) >= {part.name for part in model.parts}


@pytest.mark.parametrize("size", SIZES, ids=[str(size) for size in SIZES])
def test_clean_at_other_sizes(size: dict[str, float]) -> None:
    model, lines = edited_desk(PARTS, size)
    run = check_model(model, lines, FitEngine())
    assert [(o.id, o.reason, [f.message for f in o.findings]) for o in run.outcomes if o.outcome != "passed"] == []
