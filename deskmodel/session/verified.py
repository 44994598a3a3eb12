"""A part's shape whose volume has been found a second way whenever the first is not a closed form."""

from __future__ import annotations

from dataclasses import dataclass

from deskmodel.errors import BuildFault
from deskmodel.features import Removal, Revolve
from deskmodel.solids.part_shape import PartShape

__all__ = ["VerifiedShape"]


@dataclass(frozen=True)
class VerifiedShape:
    """``shape`` built and, where its cuts meet, compared with an independent mesh boolean."""

    shape: PartShape

    @property
    def key(self) -> str:
        return self.shape.key

    @property
    def label(self) -> str:
        return self.shape.label

    def build(self) -> object:
        """BuildFault where the two volumes disagree."""
        # here and not above: a run that finds all shapes in the cache builds nothing
        from deskmodel.meshes.second_volume import CHORD_SHARE, volume_by_meshes
        from deskmodel.solids._separate import closed_form_volume
        from deskmodel.solids.build import volume_of

        solid = self.shape.build()
        blank, removals = self.shape.blank, self.shape.removals
        if closed_form_volume(blank, removals) is None:
            second = volume_by_meshes(blank, removals)
            first = volume_of(solid)
            # what is straight has no chords: it may not differ at all
            round_ones = [*removals, *getattr(blank, "bodies", ())]
            allowed = CHORD_SHARE * sum(r.volume for r in round_ones if _is_round(r)) + 1e-6 * first
            if second is not None and abs(first - second) > allowed:
                raise BuildFault(f"{self.label}: the kernel's solid has {first:.2f} mm³, a mesh boolean of the same cuts "
                                 f"{second:.2f}")
        return solid


def _is_round(removal: Removal) -> bool:
    return isinstance(removal, Revolve) or any(bulge for _, _, bulge in removal.profile.vertices)
