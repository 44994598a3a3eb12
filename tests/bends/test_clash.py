"""Whether a folded sheet runs into itself: the closed answer against the kernel's common volumes, over random flanges."""

from __future__ import annotations

from itertools import combinations
from random import Random

import pytest

from deskmodel.bends import Flange, FoldedBlank, _folding
from deskmodel.bends._clash import check_clear
from deskmodel.errors import InputFault
from deskmodel.profiles import rectangle
from deskmodel.solids._folded import folded_pieces
from deskmodel.solids.measure import common, volume

BASE = rectangle(60, 40)


def drawn(rng: Random) -> tuple[Flange, ...]:
    flanges = []
    for side in rng.sample(["front", "back", "left", "right"], rng.randint(1, 2)):
        across = rng.choice(["top", "bottom"])
        flanges.append(Flange(side, rng.uniform(8, 40), rng.choice([90, 90, rng.uniform(60, 130)]), towards=across,
                              name=side[:1]))
        if rng.random() < 0.7:
            flanges.append(Flange(side[:1], rng.uniform(8, 45), rng.choice([90, rng.uniform(40, 130)]),
                                  towards=rng.choice(["inside", "inside", "outside"]), name=f"{side[:1]}2"))
            if rng.random() < 0.6:
                flanges.append(Flange(f"{side[:1]}2", rng.uniform(8, 30), rng.choice([90, rng.uniform(40, 130)]),
                                      name=f"{side[:1]}3"))
    return tuple(flange.resolved(1.0, "steel") for flange in flanges)


def test_as_the_kernel_says(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_folding, "check_clear", lambda panels, bends: None)
    rng, clear, clash = Random(7), 0, 0
    while clear < 12 or clash < 12:
        try:
            blank = FoldedBlank(BASE, 1.0, drawn(rng))
        except InputFault:
            continue  # too short for its bend, or overlapping in the flat: looked at before
        folding = blank.folding
        pieces, _ = folded_pieces(blank, ())
        shared = sum(volume(found) for a, b in combinations(pieces, 2) if (found := common(a, b)) is not None)
        try:
            check_clear(folding.panels, folding.bends)
            refused = False
        except InputFault:
            refused = True
        if 0 < shared < 1e-3:
            continue  # the sliver between wedge and arc
        assert refused == (shared > 0), blank
        clear, clash = clear + (not refused), clash + refused
    _folding.folding.cache_clear()  # what was made without the check is not kept
