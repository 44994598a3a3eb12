"""Bends: flanges on a plate, what a bend does to lengths, and the folded sheet in closed form. A bend removes nothing.

    section of a bend towards the top, angle A = 90°

              |     |  <- leg, up to ``length`` above the outer corner
              |     |
          R  /     /   <- bend zone: (R + t) tan(A/2), the outside setback, from the outer corner to either side
      ______/    _/
      ________ _/   +  <- outer corner: the edge of the outline, where the outer faces would meet
       base
"""

from deskmodel.bends._folding import Folding
from deskmodel.bends._pieces import Bend, Panel
from deskmodel.bends.allowance import (
    K_FACTORS,
    bend_allowance,
    bend_deduction,
    flat_length,
    k_by_din_6935,
    outside_setback,
)
from deskmodel.bends.blank import FoldedBlank
from deskmodel.bends.flange import Flange

__all__ = ["K_FACTORS", "Bend", "Flange", "FoldedBlank", "Folding", "Panel", "bend_allowance", "bend_deduction",
           "flat_length", "k_by_din_6935", "outside_setback"]
