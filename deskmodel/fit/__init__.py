"""Do placed parts fit? Overlaps, gaps, designed contacts, travel; exact, and quick after a change."""

from __future__ import annotations

from deskmodel.fit.engine import FitEngine
from deskmodel.fit.plain import check_assembly
from deskmodel.fit.problem import (
    Body,
    BodyShape,
    ContactFault,
    DesignedContact,
    FitProblem,
    FitReport,
    GapFault,
    NotMeasured,
    Overlap,
    RequiredGap,
)
from deskmodel.fit.swept import SweepHit, SweepReport, sweep
from deskmodel.fit.swung import SwingHit, SwingReport, swing

__all__ = ["Body", "BodyShape", "ContactFault", "DesignedContact", "FitEngine", "FitProblem", "FitReport", "GapFault",
           "NotMeasured", "Overlap", "RequiredGap", "SweepHit", "SweepReport", "SwingHit", "SwingReport", "check_assembly",
           "sweep", "swing"]
