"""How finely shapes are meshed and how deep their cores lie, and what follows from it.

Two solids whose cores don't meet overlap by less than the sum of their depths. A face's depth is ``DELTA`` plus its
measured chord error, which is about half the deflection asked for (r 1.5 to 50 mm). With the values below that makes
0.002 mm for two planes, 0.006 for a plane and a bore and 0.0092 for a pin in its bore: all below the 0.01 mm from which
an overlap must be found, so that nearly no pair needs the kernel for its verdict.
"""

from __future__ import annotations

__all__ = ["ANGLE", "DEFLECTION", "DELTA", "MAX_TRIANGLES"]

DEFLECTION = 0.0072
"""mm, asked of the mesher. Finer costs triangles (a plate with 480 holes: 116,000), coarser kernel calls."""

ANGLE = 0.4
"""Radians between neighbouring normals, asked of the mesher: bounds triangles on tiny radii."""

DELTA = 0.001
"""mm. Depth of the core below each face: far above the noise of poses and kernel curves (1e-7), far below 0.01."""

MAX_TRIANGLES = 400_000
"""A shape with more is meshed again, four times coarser each time; its bound grows and the kernel decides more."""
