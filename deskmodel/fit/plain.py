"""The way in without a Desk: any cadquery assembly, or named shapes with poses.

>>> report = check_assembly(assembly, gaps=[("supply", "rail", 5.0)])          # doctest: +SKIP
>>> report = check_assembly({"pin": (pin, Pose()), "block": (block, None)})    # doctest: +SKIP
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from deskmodel.errors import InputFault
from deskmodel.fit.engine import FitEngine, Progress
from deskmodel.fit.problem import Body, DesignedContact, FitProblem, FitReport, RequiredGap

__all__ = ["bodies_of", "check_assembly"]

Gap = RequiredGap | tuple[str, str, float] | tuple[str, str, float, str]


def check_assembly(assembly: Any, gaps: Iterable[Gap] = (), contacts: Iterable[DesignedContact] = (), *,
                   engine: FitEngine | None = None, progress: Progress | None = None) -> FitReport:
    """Every overlap, every gap below what ``gaps`` ask (mm), every designed contact that is not there.

    ``assembly``: a cadquery Assembly (names by ``bodies_of``), or a mapping of names to a shape or to (shape, place):
    shapes are cadquery shapes or workplanes or kernel shapes, places are poses, cadquery locations or None. Keep one
    ``engine`` to measure only what changed from call to call. Raises InputFault for what is none of these.
    """
    problem = FitProblem(bodies_of(assembly), tuple(_gap(gap) for gap in gaps), tuple(contacts))
    return (FitEngine() if engine is None else engine).run(problem, progress)


def bodies_of(assembly: Any) -> tuple[Body, ...]:
    """The bodies that ``check_assembly`` compares, in order.

    A node of an assembly is called by its own name where no other node is, else by its path ("left/hinge"); where
    that too is repeated, " (2)", " (3)" follow.
    """
    from deskmodel.solids.located import Keys, assembly_shapes, kernel_shape, pose_from, unplaced

    keys = Keys()
    if isinstance(assembly, Mapping):
        bodies = []
        for name, given in assembly.items():
            thing, place = given if isinstance(given, tuple) and len(given) == 2 else (given, None)
            shape, own = unplaced(kernel_shape(thing, str(name)))
            bodies.append(Body(str(name), keys.of(shape), pose_from(place) @ own))
        return tuple(bodies)
    if not all(hasattr(assembly, word) for word in ("children", "loc", "obj", "name")):
        raise InputFault(f"a {type(assembly).__name__} cannot be checked",
                         allowed="a cadquery Assembly, or a mapping of names to shapes with places")
    nodes = list(assembly_shapes(assembly))
    names = _names([path for path, _, _ in nodes])
    return tuple(Body(name, keys.of(shape), pose) for name, (_, shape, pose) in zip(names, nodes, strict=True))


def _names(paths: list[str]) -> list[str]:
    last = [path.rsplit("/", 1)[-1] for path in paths]
    wanted = [short if last.count(short) == 1 else path for short, path in zip(last, paths, strict=True)]
    names: list[str] = []
    taken = set(wanted)
    used: set[str] = set()
    for name in wanted:
        made, number = name, 1
        while made in used or (number > 1 and made in taken):
            number += 1
            made = f"{name} ({number})"
        used.add(made)
        names.append(made)
    return names


def _gap(gap: Gap) -> RequiredGap:
    if isinstance(gap, RequiredGap):
        return gap
    try:
        a, b, minimum, *reason = gap
        return RequiredGap(str(a), str(b), float(minimum), str(reason[0]) if reason else "required gap")
    except (TypeError, ValueError) as error:
        raise InputFault(f"a gap given as {gap!r}", allowed="(name, name, mm) or (name, name, mm, reason)") from error
