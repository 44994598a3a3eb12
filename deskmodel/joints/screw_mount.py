"""Screw mount: equipment that stands on a plate or hangs under it, held by machine screws through the plate.

      _[#]_  _[#]_       nut on the equipment; or, with nuts="plate", the other way round
      |:|______|:|       mounting holes right through
    ====|======|====     plate, clearance holes
       _^_    _^_        heads on the far side of the plate

      |  |#|  |#|  |     threaded mounting holes: no nut, the screw ends in them
    =====|=|==|=|===     plate
         _^_  _^_
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from deskmodel._numbers import told
from deskmodel.catalogue import NutSize, ScrewSize, clearance_hole, nut_size, screws_of, thread_core
from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart
from deskmodel.features import Hole
from deskmodel.frames import IDENTITY, add, pose_from_axes, scale
from deskmodel.hardware import Hardware, nut, screw
from deskmodel.joints._base import Contact, JointRecord, Layout, Named, Site, name_of, region_box
from deskmodel.joints._mounts import NUT_SHARE, THREADS, Mount, mounts_of, thread_through
from deskmodel.joints._points import check_material
from deskmodel.part import Plate
from deskmodel.tolerances import FACES_APART, LENGTH

__all__ = ["ScrewMount"]

_PAN = "ISO 7045"

_LEFT = 0.5
"""mm of a threaded hole left below a screw that may be 0.24 longer, ISO 4759-1 js15 (from memory)."""

_SIDES = ("equipment", "plate")
_METRIC = ("M3", "M4", "M5", "M6", "M8")  # of equipment that is screwed through plates


@dataclass(frozen=True)
class ScrewMount:
    """``component`` screwed to ``plate`` through each of its mounting holes, which touch the plate.

    Holes right through take a screw and a nut (ISO 4032): ``nuts`` "equipment" puts the heads on the far side of the plate
    and the nuts on the equipment, "plate" the other way round. Threaded holes take a screw through the plate. The thread
    follows from the holes (of through holes M3 up to 4.0, M4 up to 5.0). ``screw``: the standard, whose heads sit on the
    face; by default ISO 7045 pan heads. Lengths come from the catalogue: the shortest that fills its nut, or engages a
    diameter of thread (0.8 of one where the hole is too shallow) and does not reach the bottom.
    """

    component: Named | str
    plate: Named | str
    screw: str = _PAN
    nuts: Literal["equipment", "plate"] = "equipment"

    rank: ClassVar[int] = 12  # its places are given: rows of screws keep clear of them

    def __post_init__(self) -> None:
        name_of(self.component), name_of(self.plate)
        if self.nuts not in _SIDES:
            raise InputFault(f"nuts {told(self.nuts)}", allowed=" or ".join(f'"{side}"' for side in _SIDES))
        if screws_of(self.screw, "M4")[0].countersunk:
            raise InputFault(f"countersunk screws {self.screw} on a plate", allowed="heads that sit on it")

    @property
    def title(self) -> str:
        return f"{name_of(self.component)} screwing"

    def lay_out(self, site: Site, name: str) -> Layout:
        component, plate = site.part(name_of(self.component)), site.part(name_of(self.plate))
        if not isinstance(component.part, Component):
            raise InputFault(f"{component.name!r} as equipment", allowed="equipment with mounting holes")
        if not isinstance(plate.part, Plate):
            raise InputFault(f"machine screws through {plate.name!r} into equipment", allowed="a plate")
        pair = site.facing(component.name, plate.name)
        mounts = mounts_of(component, pair.b, threaded=True)
        for mount in mounts:
            if mount.seat - pair.apart > FACES_APART:
                raise InputFault(f"{mount.name} of {component.name!r}, {mount.seat - pair.apart:g} mm above the plate",
                                 allowed="mounting holes that begin where the equipment stands; others take stand-offs")
        layout = Layout()
        told_of = []
        for number, mount in enumerate(mounts, 1):
            told_of.append(self._one(name, number, mount, pair, plate, layout))
        text = ", ".join(f"{told_of.count(each)} × {each}" for each in dict.fromkeys(told_of))
        layout.records.append(JointRecord(
            name, "screw mount", component.name, plate.name, (pair.a.name, pair.b.name), pair.apart, 0.0, pair.middle,
            region_box(pair), tuple(piece.name for piece in layout.hardware), text))
        return layout

    def _one(self, group: str, number: int, mount: Mount, pair: FacePair, plate: PlacedPart, layout: Layout) -> str:
        """Adds screw, hole and nut of one mounting hole; says which they are."""
        assert isinstance(plate.part, Plate)
        up, thick = pair.b.normal, plate.part.thickness
        thread = _thread(mount)
        clear, outer = clearance_hole(thread), plate.opposite(pair.b.name)
        for face in (pair.b, outer):
            check_material(plate, face, mount.foot, clear, f"screw {number}")
        goods = None if mount.thread_depth else nut_size(thread)
        size = self._size(mount, thread, thick, goods)
        u, v, _ = outer.coordinates(mount.foot)
        layout.features.append((plate.name, Hole(outer.name, (u, v), clear, name=f"{group}, hole {number}", purpose="screw",
                                                 stage="crosscut")))
        top = mount.seat + mount.thickness
        from_plate = goods is None or self.nuts == "equipment"
        head, towards = (-thick, up) if from_plate else (top, scale(up, -1.0))
        called = f"{group}, screw {number}"

        def put(piece: Hardware, height: float) -> None:
            at = add(mount.foot, scale(up, height))
            layout.hardware.append(PlacedPart(piece, pose_from_axes(at, pair.a.u, towards), "hardware", group))

        put(screw(called, size), head)
        if goods is None:
            return f"{size.designation} into threads of the equipment"
        a_nut = nut(f"{group}, nut {number}", goods, thread_core(thread))
        start = thick + top
        put(a_nut, top if from_plate else -thick)
        if start < size.length:
            layout.contacts.append(Contact(called, a_nut.name, IDENTITY, thread_core(thread) / 2, size.diameter / 2, start,
                                           min(size.length, start + goods.height), "thread of the screw in its nut"))
        return f"{size.designation} with a nut"

    def _size(self, mount: Mount, thread: str, plate: float, goods: NutSize | None) -> ScrewSize:
        """The screw. It is chosen for faces that touch: where they do not, the check of the joint says so."""
        sizes = screws_of(self.screw, thread)
        if goods is not None:
            least = plate + mount.thickness + goods.height
            for size in sizes:
                if size.length >= least - LENGTH:
                    return size
            raise InputFault(f"{self.screw} {thread} through {plate:g} and {mount.thickness:g} mm into a nut",
                             allowed=f"no more than {sizes[-1].length:g} mm together with the nut's {goods.height:g}")
        fits = [size for size in sizes if size.length <= plate + (mount.thread_depth or 0.0) - _LEFT + LENGTH]
        for share in (1.0, NUT_SHARE):
            for size in fits:
                if size.length - plate >= share * size.diameter - LENGTH:
                    return size
        raise InputFault(f"{self.screw} {thread} through {plate:g} mm into {mount.name}, {mount.thread_depth:g} mm deep",
                         allowed=f"a deeper thread: no screw of the catalogue engages {NUT_SHARE} of its diameter and "
                         f"leaves {_LEFT:g} mm below it")


def _thread(mount: Mount) -> str:
    """The thread of the screw for a mounting hole."""
    if mount.thread_depth is None:
        thread = thread_through(mount)
        allowed = "; ".join(f"{low:g} to {high:g} mm for {name}" for name, low, high in THREADS)
    else:
        own = f"M{mount.diameter:g}"
        thread, allowed = own if own in _METRIC else None, f"threads {', '.join(_METRIC)}"
    if thread is None:
        raise InputFault(f"a screw for {mount.name}, Ø {mount.diameter:g}", allowed=allowed)
    return thread
