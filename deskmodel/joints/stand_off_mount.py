"""Stand-off mount: a board or housing on stand-offs above a plate, by its own mounting holes.

      __|^|__       screw from above through the board
      ==|#|==       board
        | |         stand-off, threaded at both ends; the two screws do not meet in it
      ==|#|==       plate
        |v|         screw from below, its head under the plate or, flush, in a countersink
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from deskmodel._numbers import number as checked_number
from deskmodel._numbers import told
from deskmodel.catalogue import ScrewSize, StandOffSize, clearance_hole, screws_of, stand_off_size, thread_core
from deskmodel.component import Component
from deskmodel.errors import InputFault
from deskmodel.faces import FacePair, PlacedPart, facing
from deskmodel.features import Hole
from deskmodel.frames import IDENTITY, Vec, add, pose_from_axes, scale
from deskmodel.hardware import screw, stand_off
from deskmodel.joints._base import Contact, JointRecord, Layout, Named, Site, name_of, region_box
from deskmodel.joints._mounts import NUT_SHARE, THREADS, Mount, mounts_of, thread_through
from deskmodel.joints._points import check_material
from deskmodel.part import Plate
from deskmodel.tolerances import FACE_SEARCH, FACES_APART, LENGTH

__all__ = ["StandOffMount"]

_PAN, _SUNK = "ISO 7045", "ISO 7046"

_BETWEEN = 0.5
"""mm between the two screws inside: each may be 0.24 long, ISO 4759-1 js15 (from memory)."""

_PROUD = 0.2
"""mm by which a countersunk head may stand out of a plate too thin for its cone (common practice)."""


@dataclass(frozen=True)
class StandOffMount:
    """``component`` on a stand-off at each of its mounting holes, ``height`` mm above ``plate``.

    The height is that from the plate to where the component's material begins at the holes. The thread follows from the
    holes (M3 up to 4.0, M4 up to 5.0). ``screw``: the standard of the screws, whose heads sit on board and plate; by
    default ISO 7045 pan heads. ``flush``: from below ISO 7046, sunk in the plate. Lengths come from the catalogue: each
    screw engages a diameter, or where the stand-off is too short for that 0.8 of one, and the two do not meet inside.
    """

    component: Named | str
    plate: Named | str
    height: float = 6.5
    screw: str | None = None
    flush: bool = False

    rank: ClassVar[int] = 12  # its places are given: rows of screws keep clear of them

    def __post_init__(self) -> None:
        name_of(self.component), name_of(self.plate)
        checked_number("height", self.height, 1, 100, "mm")
        if not isinstance(self.flush, bool):
            raise InputFault(f"flush {told(self.flush)}", allowed="True or False")
        if screws_of(self.screw or _PAN, "M3")[0].countersunk:
            raise InputFault(f"countersunk screws {self.screw} on a board", allowed="heads that sit on it; flush=True sinks "
                             "those in the plate")

    @property
    def title(self) -> str:
        return f"{name_of(self.component)} mount"

    def lay_out(self, site: Site, name: str) -> Layout:
        component, plate = site.part(name_of(self.component)), site.part(name_of(self.plate))
        if not isinstance(component.part, Component):
            raise InputFault(f"{component.name!r} on stand-offs", allowed="equipment with mounting holes")
        if not isinstance(plate.part, Plate):
            raise InputFault(f"stand-offs on {plate.name!r}", allowed="a plate")
        pair = facing(component, plate, self.height + FACE_SEARCH)
        mounts = mounts_of(component, pair.b)
        goods = self._goods(component, mounts)
        board = mounts[0].thickness
        lower, upper = self._screws(goods, plate.part.thickness, board)
        layout = Layout()
        for number, mount in enumerate(mounts, 1):
            _one_mount(name, number, mount, pair, plate, goods, lower, upper, layout)
        apart = mounts[0].seat - self.height
        layout.records.append(JointRecord(
            name, "stand-off mount", component.name, plate.name, (pair.a.name, pair.b.name), apart, self.height,
            pair.middle, region_box(pair), tuple(piece.name for piece in layout.hardware),
            f"{len(mounts)} stand-offs {goods.thread} × {goods.length:g}, {lower.designation} from below, "
            f"{upper.designation} from above, engaged {lower.length - _taken_up(lower, plate.part.thickness):.1f} and "
            f"{upper.length - board:.1f} mm"))
        return layout

    def _goods(self, component: PlacedPart, mounts: tuple[Mount, ...]) -> StandOffSize:
        """The stand-off for these holes. InputFault where they differ, or none is made."""
        first = mounts[0]
        for mount in mounts:
            if max(abs(mount.seat - first.seat), abs(mount.thickness - first.thickness)) >= FACES_APART:
                raise InputFault(f"{first.name} and {mount.name} of {component.name!r}, {first.seat:g} and {mount.seat:g} "
                                 f"mm above the plate, {first.thickness:g} and {mount.thickness:g} mm thick",
                                 allowed="mounting holes of one height, in a board of one thickness")
        threads = {thread_through(mount) for mount in mounts}
        thread = threads.pop()
        if thread is None or threads:
            told_of = ", ".join(f"{diameter:g}" for diameter in sorted({mount.diameter for mount in mounts}))
            raise InputFault(f"stand-offs for the mounting holes Ø {told_of} of {component.name!r}",
                             allowed="; ".join(f"{low:g} to {high:g} mm for {name}" for name, low, high in THREADS))
        return stand_off_size(f"{thread}x{self.height:g}")

    def _screws(self, goods: StandOffSize, plate: float, board: float) -> tuple[ScrewSize, ScrewSize]:
        """The screws from below and from above: those of a whole diameter's engagement before others, then short ones."""
        uppers = screws_of(self.screw or _PAN, goods.thread)
        lowers = screws_of(_SUNK, goods.thread) if self.flush else uppers
        d = uppers[0].diameter
        below = _taken_up(lowers[0], plate)
        if below - plate > _PROUD + LENGTH:
            raise InputFault(f"a countersunk head {lowers[0].head_height:g} mm high in a plate of {plate:g} mm",
                             allowed="flush=False, or a thicker plate")
        pairs = [(min(a.length - below, b.length - board, d), -(a.length + b.length), a.length, a, b)
                 for a in lowers for b in uppers
                 if min(a.length - below, b.length - board) >= NUT_SHARE * d - LENGTH
                 and a.length - below + b.length - board <= goods.length - _BETWEEN + LENGTH]
        if not pairs:
            raise InputFault(f"a stand-off of {goods.length:g} mm for screws through {plate:g} and {board:g} mm",
                             allowed=f"a longer one: no two {goods.thread} screws of the catalogue engage "
                             f"{NUT_SHARE * d:g} mm each in it without meeting")
        best = max(pairs, key=lambda each: each[:3])
        return best[3], best[4]


def _one_mount(group: str, number: int, mount: Mount, pair: FacePair, plate: PlacedPart, goods: StandOffSize,
               lower: ScrewSize, upper: ScrewSize, layout: Layout) -> None:
    up = pair.b.normal
    what = f"stand-off {number}"
    outer = plate.opposite(pair.b.name)
    check_material(plate, pair.b, mount.foot, goods.corners, what)
    check_material(plate, outer, mount.foot, max(lower.rim, clearance_hole(lower.thread)), what)
    u, v, _ = outer.coordinates(mount.foot)
    assert isinstance(plate.part, Plate)
    thick = plate.part.thickness
    below = _taken_up(lower, thick)
    layout.features.append((plate.name, Hole(
        outer.name, (u, v), clearance_hole(lower.thread),
        countersink=(lower.head - 2 * (below - thick), 90.0) if lower.countersunk else None,
        name=f"{group}, hole {number}", purpose="screw", stage="crosscut")))
    spacer = stand_off(f"{group}, {what}", goods, thread_core(goods.thread))
    along = pair.a.u
    board = mount.seat + mount.thickness
    for piece, at, towards in ((spacer, 0.0, up), (screw(f"{group}, lower screw {number}", lower), -below, up),
                               (screw(f"{group}, upper screw {number}", upper), board, scale(up, -1.0))):
        pose = pose_from_axes(_above(mount.foot, up, at), along, towards)
        layout.hardware.append(PlacedPart(piece, pose, "hardware", group))
    # the stand-off stands on the plate; where the board does not lie on it, the check of the joint says so
    for name, size, start in ((f"{group}, lower screw {number}", lower, below),
                              (f"{group}, upper screw {number}", upper, max(0.0, board - goods.length))):
        if start < size.length:
            layout.contacts.append(Contact(name, spacer.name, IDENTITY, thread_core(goods.thread) / 2, size.diameter / 2,
                                           start, min(size.length, start + goods.length),
                                           "thread of the screw in its stand-off"))


def _taken_up(lower: ScrewSize, plate: float) -> float:
    """mm of the lower screw's length outside the stand-off: a countersunk head higher than the plate stands proud of it."""
    return max(plate, lower.head_height) if lower.countersunk else plate


def _above(p: Vec, up: Vec, distance: float) -> Vec:
    return add(p, scale(up, distance))
