"""Blank less cuts = kernel's solid = mesh boolean, for every kind of feature on every face, also where cuts meet."""

from __future__ import annotations

import math
from random import Random

import pytest

from deskmodel.errors import InputFault
from deskmodel.features import FEATURES, Hole
from deskmodel.meshes.second_volume import CHORD_SHARE, volume_by_meshes
from deskmodel.part import Part, removals_of, with_features
from deskmodel.solids._separate import closed_form_volume
from deskmodel.solids.build import build_solid, volume_of
from tests.features.cases import CASES, MEMBER, PLATE, faces_for

SEEDS = range(4)
SPLIT = {17}  # of the member: looked at, its cuts leave two pieces
PLACES = [(kind, part, face) for kind in FEATURES for part in (MEMBER, PLATE) for face in faces_for(kind, part)]


def test_every_kind_has_its_cases() -> None:
    assert set(CASES) == set(FEATURES)
    assert {kind for kind, _, _ in PLACES} == set(FEATURES)
    assert {face for _, part, face in PLACES if part is MEMBER} == set(MEMBER.blank.face_names)


@pytest.mark.parametrize(("kind", "part", "face"), PLACES,
                         ids=[f"{kind.__name__}-{part.name}-{face}" for kind, part, face in PLACES])
def test_one_feature(kind: type, part: Part, face: str) -> None:
    for seed in SEEDS:
        case = CASES[kind](Random(seed), part, face)
        removals = case.feature.removals(part.blank)
        (x0, y0, z0), (x1, y1, z1) = part.blank.bounds
        for removal in removals:
            low, high = removal.bounds
            assert min(low[0] - x0, low[1] - y0, low[2] - z0, x1 - high[0], y1 - high[1], z1 - high[2]) > -1e-6
        assert sum(removal.volume for removal in removals) == pytest.approx(case.removed, rel=1e-9)
        solid = build_solid(part.blank, removals, part.name)
        # to a millionth of what is cut, not of the blank: a lost vent hole must show
        assert volume_of(solid) == pytest.approx(part.blank.volume - case.removed, abs=1e-6 * case.removed)
        meshed = volume_by_meshes(part.blank, removals)
        assert meshed == pytest.approx(part.blank.volume - case.removed, abs=CHORD_SHARE * case.removed)


@pytest.mark.parametrize("seed", range(24))
@pytest.mark.parametrize("part", [MEMBER, PLATE], ids=["member", "plate"])
def test_features_that_meet(part: Part, seed: int) -> None:
    rng = Random(seed)
    while True:
        kinds = [rng.choice(FEATURES) for _ in range(rng.randint(2, 4))]
        cases = [CASES[kind](rng, part, rng.choice(faces)) for kind in kinds if (faces := faces_for(kind, part))]
        if len(cases) > 1 and sum(case.removed for case in cases) < 0.3 * part.blank.volume:
            break
    cut = with_features(part, [case.feature for case in cases])
    removals = removals_of(cut)
    try:
        kernel = volume_of(build_solid(cut.blank, removals, cut.name))
    except InputFault as fault:  # a through slot over a deep notch: rightly refused
        if "pieces" in fault.problem and part is MEMBER and seed in SPLIT:
            return
        raise
    meshed = volume_by_meshes(cut.blank, removals)
    removed = sum(case.removed for case in cases)
    assert meshed == pytest.approx(kernel, abs=CHORD_SHARE * removed)
    assert part.blank.volume - removed - 1e-6 * removed <= kernel < part.blank.volume
    expected = closed_form_volume(cut.blank, removals)
    if expected is not None:
        assert kernel == pytest.approx(expected, abs=1e-6 * removed)


def test_some_of_them_do_meet() -> None:
    """The law above is about cuts that share volume; here is one pair that surely does, with its closed form."""
    # two 20 mm bores crossing at right angles: Steinmetz, common volume 16 r³ / 3
    cut = with_features(MEMBER, [Hole("face edge", (200, 11), 20), Hole("face side", (200, 30), 20)])
    removals = removals_of(cut)
    assert closed_form_volume(cut.blank, removals) is None
    # the second bore is 22 long, so it holds the whole common body
    removed = math.pi * 100 * (60 + 22) - 16 / 3 * 1000
    assert volume_of(build_solid(cut.blank, removals, "x")) == pytest.approx(MEMBER.blank.volume - removed, rel=1e-6)
    assert volume_by_meshes(cut.blank, removals) == pytest.approx(MEMBER.blank.volume - removed, abs=CHORD_SHARE * removed)
