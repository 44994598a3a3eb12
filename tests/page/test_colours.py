"""Colours of the page: contrast after WCAG 2.2, and marks that stay apart for eyes that see fewer colours."""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from deskmodel import page

TEXT = (Path(page.__file__).parent / "web" / "colours.css").read_text(encoding="utf-8")
LIGHT, DARK = (dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", block)) for block in TEXT.split("@media"))
DARK = {**LIGHT, **DARK}

# Machado, Oliveira, Fernandes: A Physiologically-based Model for Simulation of Color Vision Deficiency, IEEE TVCG 15 (2009),
# severity 1.0, on linear light; from memory
EYES = {
    "all colours": np.eye(3),
    "no red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "no green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "no blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}


def linear(text: str) -> NDArray[np.float64]:
    """IEC 61966-2-1."""
    c = np.array([int(text[i:i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def luminance(text: str) -> float:
    return float(linear(text) @ (0.2126, 0.7152, 0.0722))


def contrast(a: str, b: str) -> float:
    """WCAG 2.2, definition of contrast ratio."""
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


def lab(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """CIE 1976 L*a*b*, white D65 (ISO/CIE 11664-4); matrix of IEC 61966-2-1."""
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ np.clip(light, 0, 1)
    t = xyz / (0.9505, 1.0, 1.089)
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_text_can_be_read(theme: dict[str, str]) -> None:
    pairs = [("ink", ground) for ground in ("paper", "card", "press", "picked-wash", "stop-wash")]
    pairs += [("soft", "card"), ("soft", "paper"), ("picked", "card"), ("changed", "card"), ("note", "card")]
    pairs += [("stop", "stop-wash"), ("stop", "card"), ("warn", "warn-wash"), ("warn", "card"), ("good", "good-wash")]
    for front, ground in pairs:
        assert contrast(theme[front], theme[ground]) >= 4.5, (front, ground)  # WCAG 2.2, 1.4.3
    assert contrast(theme["focus"], theme["card"]) >= 3  # 1.4.11


@pytest.mark.parametrize("eyes", EYES)
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_marks_stay_apart(theme: dict[str, str], eyes: str) -> None:
    for a, b in combinations(("picked", "changed", "stop"), 2):
        apart = np.linalg.norm(lab(EYES[eyes] @ linear(theme[a])) - lab(EYES[eyes] @ linear(theme[b])))
        assert apart > 15, (a, b, apart)  # by eye; 2.3 is just seen
