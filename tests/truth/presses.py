"""Closed form: press fits with a designed contact, as they should be and shifted.

The male is a cylinder of radius ``ro`` on the z axis of its own frame, the female has a bore of radius ``ri`` < ro.
The contact allows what lies in the ring ri <= r <= ro, start <= z <= end of the male. What is shared outside of it:

shifted by e across      on the side it is pushed to: a crescent, e thick (the female's bore moved by e)
bore narrower by x       a sleeve, x thick, inside the ring's bore
male wider by x          a sleeve, x thick, outside the ring
ring shorter by x        a flat ring of ro - ri width, x thick: width min(x, ro - ri)
"""

from __future__ import annotations

import math
import random
from dataclasses import replace

from deskmodel.fit.problem import DesignedContact
from deskmodel.frames import IDENTITY, Pose, axis_angle
from tests.truth.case import A, B, Case, Truth, Verdict
from tests.truth.recipe import Recipe
from tests.truth.rounds import spin
from tests.truth.sweep import placed

__all__ = ["press_fits"]

SHIFTS = (0.0, 0.0, 0.005, 0.05, 0.3)
WRONG = (0.0, 0.002, 0.01, 0.02, 0.05)
LONG = 12.0  # mm of engagement


def press_fits(rng: random.Random, index: int) -> Case:
    """Screw in insert (thread depth 0.35), or insert in its pilot hole (0.25)."""
    what = ("across", "narrow bore", "wide male", "short ring", "along", "missing")[index % 6]
    screw = rng.random() < 0.5
    ro, ri = (2.0, 1.65) if screw else (3.25, 3.0)
    e = SHIFTS[(index // 6) % len(SHIFTS)] if what == "across" else 0.0
    x = WRONG[(index // 6) % len(WRONG)] if what in ("narrow bore", "wide male", "short ring") else 0.0
    bore = ri - x if what == "narrow bore" else ri
    real = ro + x if what == "wide male" else ro
    phi = rng.uniform(0, 2 * math.pi)
    contact_fault: Verdict = "never"
    depth, shift = x, (e * math.cos(phi), e * math.sin(phi), 0.0)
    if what == "across":
        depth = e
        # pushed by less than the designed depth there is still material all round; beyond it, the far side is open
        contact_fault = "never" if e <= 0.005 else "either"
    if what == "along":
        # moved along the bore: the ring goes with the male, half of it still engaged, nothing shared outside
        shift, contact_fault = (0.0, 0.0, -6.0), "either"
    if what == "missing":
        shift, contact_fault = (0.0, 0.0, 40.0), "must"
    # The female is LONG high on its bore's axis, z from 0; the male reaches 5 beyond it at both ends.
    # The ring is the male's whole length but for "short ring", which ends x below the female's top.
    male = Recipe("round_bar", (2 * real, LONG + 10))
    end = LONG + 5 - x if what == "short ring" else LONG + 10
    axis, start = IDENTITY, 0.0
    if rng.random() < 0.5:  # the same ring told from the other end: its z runs against the male's, from z = 3 of it
        axis, start, end = Pose(axis_angle((1, 0, 0), 180).rotation, (0.0, 0.0, 3.0)), 3.0 - end, 3.0
    contact = DesignedContact(A, B, axis, ri, ro, start, end, "press fit")
    if screw:
        female, at = Recipe("insert", (6.5, 2 * bore, LONG)), (0.0, 0.0)
    else:
        female, at = Recipe("vent_plate", (60.0, 40.0, LONG, ((30.0, 20.0, 2 * bore),))), (30.0, 20.0)
    pose = Pose(origin=(at[0] + shift[0], at[1] + shift[1], shift[2] - 5)) @ spin(rng)
    # "missing": the male's end hangs 40 - 5 - LONG above the female's top
    gap = 40.0 - 5.0 - LONG if what == "missing" else 0.0
    truth = Truth(depth, gap, convex=False, contact_fault=contact_fault)
    return replace(placed(male, pose, female, IDENTITY, truth, f"{what} e={e} x={x}"), contacts=(contact,))
