"""The proof of an exported folder: every jig as printed, every use on both pieces of stock, both members of every joint."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np

from tests.proof.assembly import read_assembly
from tests.proof.contract import Use
from tests.proof.judging import Complaint, Seated, body_of, judge, member_of, under
from tests.proof.laid import STARTS
from tests.proof.mating import joints, mate, pairs, registers
from tests.proof.printed import bed_of, printable, same_in_step
from tests.proof.tools import read_tools


def prove(folder: Path, uses: Iterable[Use], workshop: Path, starts: int = STARTS) -> list[Complaint]:
    """Everything that is wrong with these ``uses``; nothing is left unsaid because something else is wrong."""
    tools, bed = read_tools(workshop), bed_of(workshop)
    found: list[Complaint] = []
    seated: list[Seated] = []
    jigs = {}
    for use in uses:
        jigs[use.jig.number] = use.jig
        there, complaints = judge(use, tools, starts)
        seated += there
        found += complaints
    for jig in jigs.values():
        found += [*printable(jig, body_of(jig.stl), bed), *same_in_step(jig, body_of(jig.stl))]
    return found + mated(folder, seated)


def mated(folder: Path, seated: Iterable[Seated]) -> list[Complaint]:
    """Every joint of which both members were drilled, put together. A joint of which one half is missing is not judged: a
    sample of the uses may lack it; the whole is asked for by ``unmated``."""
    placed = read_assembly(folder / "model.step")
    found: list[Complaint] = []
    for joint, halves in joints(seated).items():
        for a, b in pairs(halves):
            found += [*mate(joint, a, b, placed), *registers(joint, a, b, placed)]
    return found


def undrilled(folder: Path, uses: Iterable[Use]) -> list[str]:
    """Holes of the jigs' diameters in the members of ``folder`` that no use drills: none is left to be drilled freehand."""
    uses = list(uses)
    left = []
    for path in sorted((folder / "members").glob("*.step")):
        member = member_of(path)
        met = [hole for use in uses if use.file == path for hole in under(member, use)]
        ends = [hole.entry + hole.depth * hole.way for hole in met]  # a hole right through is one from there, too
        left += [f"{path.stem}, {hole.side}: {hole.entry}" for hole in member.holes
                 if not any(hole is each for each in met)
                 and not any(np.allclose(hole.entry, end, atol=1e-6) for end in ends)
                 and any(abs(2 * hole.radius - use.jig.drill) < 0.01 for use in uses)]
    return left


def unmated(seated: Iterable[Seated]) -> list[str]:
    """Joints of which only one member was drilled."""
    return [joint for joint, halves in joints(seated).items() if not pairs(halves)]
