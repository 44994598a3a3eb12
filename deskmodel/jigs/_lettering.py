"""What is engraved in a jig."""

from __future__ import annotations

from deskmodel.jigs._types import Jig

__all__ = ["DEEP", "lines_of", "short_label"]

DEEP = 0.6
"""mm that letters are engraved, 1.5 nozzles at least."""


def lines_of(jig: Jig, remark: str) -> list[str]:
    """Number and drill, each depth with the setting of the stop, the revision's start; what matters most first."""
    made = [f"{short_label(jig)} Ø{jig.diameter:g}"]
    for each in jig.depths:
        deep = "THROUGH" if each.through else f"{_short(each.depth)} DEEP"
        made += [deep, f"STOP {_short(each.stop)}"]
    return [*made, remark] if remark else made


def short_label(jig: Jig) -> str:
    """One word, which no line breaks: "J1L"."""
    return jig.label.replace(" ", "")


def _short(value: float) -> str:
    return f"{round(value, 1):g}"
