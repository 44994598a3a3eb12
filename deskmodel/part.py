"""Parts: a blank, a material and features. A part is a frozen value in its own frame; where it stands is the desk's.

Everything that is made or drawn of a part is read from ``blank`` and ``removals()``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Any, Protocol, TypeVar

from deskmodel._blanks import Blank, Bodies, BoxBlank, CustomBlank, FoldedBlank, SheetBlank, TurnedBlank
from deskmodel._numbers import check_text, settled, told
from deskmodel._remembered import Kept, remembered
from deskmodel.bends import Flange
from deskmodel.errors import InputFault
from deskmodel.features import FEATURES, Feature, Removal
from deskmodel.features._base import check_labels, check_length, check_pair
from deskmodel.finish import Finish
from deskmodel.materials import material as material_named
from deskmodel.profiles import Profile, check_outline
from deskmodel.tolerances import LENGTH
from deskmodel.veneer import Veneer

__all__ = [
    "Blank",
    "Bodies",
    "BoxBlank",
    "CustomBlank",
    "CustomShape",
    "FoldedBlank",
    "Member",
    "Part",
    "Plate",
    "SheetBlank",
    "TurnedBlank",
    "check_name",
    "cuts_of",
    "removals_of",
    "settle",
    "with_features",
]


class Part(Protocol):
    """A thing of the desk: member, plate, component, custom shape or hardware."""

    @property
    def name(self) -> str: ...
    @property
    def material(self) -> str: ...
    @property
    def features(self) -> tuple[Feature, ...]: ...
    @property
    def blank(self) -> Blank: ...


P = TypeVar("P")


def with_features(part: P, added: Iterable[Feature]) -> P:
    """The part with more features; InputFault where one does not fit its blank."""
    features: tuple[Feature, ...] = (*getattr(part, "features", ()), *added)
    return replace(part, features=features)  # type: ignore[type-var]  # every part is a frozen dataclass


def settle(part: Part) -> None:
    """For the constructors of parts: features that no later line of the script can change, each looked at once.
    InputFault as ``removals_of``."""
    if not isinstance(part.features, tuple | list):
        raise InputFault(f"features {told(part.features)}", allowed="a tuple of features")
    object.__setattr__(part, "features", tuple(_settled(feature) for feature in part.features))
    try:
        removals_of(part)
    except InputFault as fault:
        raise fault.about(part.name) from None


def _settled(feature: Any) -> Any:
    known = _KNOWN.get(id(feature))
    if known is not None or type(feature) not in FEATURES:
        return feature
    given = {field.name: getattr(feature, field.name) for field in fields(feature)}
    changed = {name: new for name, value in given.items() if (new := settled(value)) is not value}
    return replace(feature, **changed) if changed else feature


@remembered
def removals_of(part: Part) -> tuple[Removal, ...]:
    """All that the features take away, in the part's frame. InputFault where one is no feature or leaves its blank."""
    blank = part.blank
    return tuple(removal for feature in part.features for removal in _removals(feature, blank))


def cuts_of(part: Part) -> tuple[tuple[Feature, tuple[Removal, ...]], ...]:
    """Each feature with what it takes away, in the part's frame. InputFault as ``removals_of``."""
    blank = part.blank
    return tuple((feature, _removals(feature, blank)) for feature in part.features)


_KNOWN = Kept()
"""What features take away, by the identity of the feature: a plate gets its screw holes one joint after the other, and
its 120 vents need not be worked out again for each."""


def _removals(feature: Feature, blank: Blank) -> tuple[Removal, ...]:
    known = _KNOWN.get(id(feature))
    if known is not None and known[0][1] == blank:
        before: tuple[Removal, ...] = known[1]
        return before
    if type(feature) not in FEATURES:
        raise InputFault(f"{told(feature)} as a feature", allowed=", ".join(kind.__name__ for kind in FEATURES))
    check_labels(feature)
    removals = feature.removals(blank)
    _KNOWN.put(id(feature), (feature, blank), removals)
    return removals


@dataclass(frozen=True, slots=True)
class Member:
    """Straight timber: ``section`` = (width, height), grain along ``length`` (local x); width along y, height z. mm.

               face edge (up, under the top plate)
             +-----------------------------+
            /                             /|  far end (x = length)
           +-----------------------------+ |
           |   face side (front, y = 0)  | +  back side (y = width)
        z  |                             |/
        |  +-----------------------------+  under edge (z = 0)
        +--x  datum end (x = 0)

    A feature names its face and gives (u, v) there: the part's other two coordinates, (x, z) on the sides, (x, y) on the
    edges, (y, z) on the ends. Example: Hole("face side", (120, 30), 20) is a bore 120 from the datum end, 30 up."""

    name: str
    section: tuple[float, float]
    length: float
    material: str
    features: tuple[Feature, ...] = ()

    def __post_init__(self) -> None:
        check_name(self.name)
        check_length("length", self.length)
        check_pair("section", self.section, "(width, height) in mm")
        object.__setattr__(self, "section", settled(self.section))
        check_length("section width", self.section[0])
        check_length("section height", self.section[1])
        material_named(self.material)
        settle(self)

    @property
    def blank(self) -> BoxBlank:
        return BoxBlank(float(self.length), float(self.section[0]), float(self.section[1]))


@dataclass(frozen=True, slots=True)
class Plate:
    """Flat sheet: ``outline`` in local x, y; z from 0 to ``thickness``; ``printed``: comes from the 3D printer; ``veneer``
    lies on one of its faces, outside the thickness. mm. Its faces: "bottom" and "top", (u, v) = (x, y); with flanges
    those of each leg, "back flange inside".

    ``flanges``: metal only; the outline is then the outside of the folded base, see ``Flange``. ``finish``: see
    ``Finish``. ``witness``: gets a small hole, put where nothing else is, by which both faces can be told apart."""

    name: str
    outline: Profile
    thickness: float
    material: str
    features: tuple[Feature, ...] = ()
    printed: bool = False
    veneer: Veneer | None = None
    flanges: tuple[Flange, ...] = ()
    finish: Finish | None = None
    witness: bool = False

    def __post_init__(self) -> None:
        check_name(self.name)
        check_length("thickness", self.thickness)
        check_outline(f"the outline of {self.name!r}", self.outline)
        if not isinstance(self.printed, bool):
            raise InputFault(f"printed {told(self.printed)}", allowed="True or False")
        if self.veneer is not None and not isinstance(self.veneer, Veneer):
            raise InputFault(f"veneer {told(self.veneer)}", allowed='Veneer("ash veneer", 0.6) or None')
        if self.finish is not None and not isinstance(self.finish, Finish):
            raise InputFault(f"finish {told(self.finish)}", allowed='Finish(brushed="x") or None')
        if not isinstance(self.witness, bool) or (self.witness and self.printed):
            raise InputFault(f"witness {told(self.witness)}{' of a printed plate' if self.printed else ''}",
                             allowed="True or False; True of a plate that is cut only")
        metal = material_named(self.material).metal
        if not isinstance(self.flanges, tuple | list) or not all(isinstance(each, Flange) for each in self.flanges):
            raise InputFault(f"flanges {told(self.flanges)}", allowed="a tuple of Flange(…)")
        object.__setattr__(self, "flanges", tuple(self.flanges))
        if self.flanges and (self.printed or not metal):
            raise InputFault(f"flanges on {self.name!r} of {self.material}{', printed' if self.printed else ''}",
                             allowed="a sheet of metal: nothing else is bent cold")
        settle(self)
        if self.flanges and self.veneer is not None:
            (_, _, low), (_, _, high) = self.blank.bounds
            if high > self.thickness + LENGTH if self.veneer.face == "top" else low < -LENGTH:
                raise InputFault(f"veneer on the {self.veneer.face} of {self.name!r}, where flanges stand",
                                 allowed="the side that all flanges are bent away from")

    @property
    def blank(self) -> SheetBlank | FoldedBlank:
        thickness = float(self.thickness)
        if not self.flanges:
            return SheetBlank(self.outline, thickness)
        return FoldedBlank(self.outline, thickness, tuple(each.resolved(thickness, self.material) for each in self.flanges))


@dataclass(frozen=True, slots=True)
class CustomShape:
    """A part whose solid comes from cadquery code: ``function(**parameters)`` in the file ``script``.

    The documents that cannot be derived from it say so by name."""

    name: str
    blank: CustomBlank
    material: str
    printed: bool = True
    features: tuple[Feature, ...] = ()

    def __post_init__(self) -> None:
        check_name(self.name)
        if not isinstance(self.printed, bool):
            raise InputFault(f"printed {told(self.printed)}", allowed="True or False")
        material_named(self.material)
        settle(self)


def check_name(name: Any) -> None:
    """InputFault unless it is a text with something to read in it."""
    check_text("name", name)
