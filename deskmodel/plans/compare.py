"""Two desks side by side: what was changed, and what that means for plates already ordered and members already cut."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from deskmodel.model import DeskModel, revision, write_json
from deskmodel.plans.compare_cost import CostCompared, CostSide
from deskmodel.plans.compare_findings import FindingsCompared, compare_findings
from deskmodel.plans.compare_parts import PartsCompared, compare_parts
from deskmodel.plans.compare_rest import (
    HardwareCount,
    MassCompared,
    Named,
    compare_bays,
    compare_demands,
    compare_hardware,
    compare_joints,
    compare_mass,
)
from deskmodel.plans.mass import DeskMass, desk_mass

__all__ = ["Comparison", "Side", "compare_desks"]

@dataclass(frozen=True, slots=True)
class Side:
    """One of the two desks. ``source``: where it comes from, as it was typed. ``findings``: its findings.json, or
    ``unchecked``: why there is none. ``mass``: with the parts measured whose volume has no closed
    form; None: without. ``cost``: see ``compare_cost``."""

    source: str
    model: DeskModel
    findings: Any = None
    unchecked: str | None = None
    mass: DeskMass | None = None
    cost: CostSide = field(default_factory=lambda: CostSide(why="a model holds no prices"))


@dataclass(frozen=True, slots=True)
class Comparison:
    """``revisions``: of old and new; None where custom shapes were not made. ``equal``: the desks are the same and so is
    what was found; prices shape no part and do not count. ``written_differently``: the models differ in nothing that is told
    here: names of cuts, an own origin of a part, records that follow from the rest."""

    old: Side
    new: Side
    revisions: tuple[str | None, str | None]
    parts: PartsCompared
    joints: tuple[Named, ...]
    hardware: tuple[HardwareCount, ...]
    bays: tuple[Named, ...]
    demands: tuple[Named, ...]
    findings: FindingsCompared
    mass: MassCompared
    written_differently: bool
    cost: CostCompared

    @property
    def equal(self) -> bool:
        return not (self.told or self.written_differently or self.findings.differ)

    @property
    def told(self) -> bool:
        """Whether anything of the desks themselves is told to differ."""
        parts = self.parts
        return bool(parts.added or parts.removed or parts.renamed or parts.changed or self.joints or self.hardware
                    or self.bays or self.demands)


def compare_desks(old: Side, new: Side) -> Comparison:
    """Everything that differs. InputFault where a findings record is none."""
    parts = compare_parts(old.model, new.model)
    renamed = dict(parts.renamed)
    if old.findings is not None and new.findings is not None:
        findings = compare_findings(old.findings, new.findings, renamed)
    else:
        findings = FindingsCompared(why_not="; ".join(
            f"{which}: {side.unchecked or 'not checked'}" for which, side in (("old", old), ("new", new))
            if side.findings is None))
    made = Comparison(
        old, new, (_revision(old.model), _revision(new.model)), parts, compare_joints(old.model, new.model, renamed),
        compare_hardware(old.model, new.model), compare_bays(old.model, new.model, renamed),
        compare_demands(old.model, new.model, renamed), findings,
        compare_mass(old.model, new.model, (_mass(old), _mass(new))), False, CostCompared(old.cost, new.cost))
    if not made.told and not parts.unresolved and write_json(old.model) != write_json(new.model):
        return replace(made, written_differently=True)
    return made


def _mass(side: Side) -> DeskMass:
    return side.mass if side.mass is not None else desk_mass(side.model, {})


def _revision(model: DeskModel) -> str | None:
    unmade = any(getattr(placed.part.blank, "digest", None) == "" for placed in model.parts)
    return None if unmade else revision(model)
