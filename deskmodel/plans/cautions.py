"""Usual cautions, each only where the desk has its cause, with the parts that are the cause.

They claim nothing: local codes and licensed practice go before every line, and nothing here says that anything is enough.
The standards are named as places to look into. Common practice throughout; standards' numbers partly from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from deskmodel.component import Component
from deskmodel.faces import PlacedPart
from deskmodel.materials import material
from deskmodel.model import DeskModel
from deskmodel.part import Member, Plate

__all__ = ["DEFERS", "NOT_LOOKED_AT", "Caution", "cautions"]

DEFERS = ("Usual cautions, drawn from what this desk contains. They are no instruction for work that the law or good sense "
          "leaves to licensed people, they do not replace the makers' data sheets, and local codes and regulations go "
          "before "
          "every line. Nothing on this page says that the desk meets any of them.")

NOT_LOOKED_AT = ("Not looked at: whatever the model does not hold. Batteries are found by their names only; equipment may "
                 "hold one without saying so. Wiring, fuses and cord sets are not part of the model. Read every data sheet.")

_PACKS = ("battery", "batteries", "lithium", "li-ion", "accumulator", "power bank", "powerbank", "uninterruptible")
_WARM = 5.0  # W; below this a thing in a closed bay is hardly felt


@dataclass(frozen=True, slots=True)
class Caution:
    """``causes``: names of parts, in words; ``points``: what is usually minded; ``standards``: where to look."""

    title: str
    causes: tuple[str, ...]
    points: tuple[str, ...]
    standards: tuple[str, ...]


def cautions(model: DeskModel) -> tuple[Caution, ...]:
    """In the order of how much can go wrong. Empty for a desk without any of the causes."""
    made = (rule(model) for rule in (_mains, _bonding, _packs, _heat, _saw, _drilling, _edges, _glass, _dust))
    return tuple(caution for caution in made if caution.causes)


def _mains(model: DeskModel) -> Caution:
    return Caution("Mains", _named(model, _has_mains), (
        "Connection, earthing and the first test belong to somebody who is licensed for it where the desk stands.",
        "Pull the plug before a cover is opened; covers over mains parts open with a tool only.",
        "Keep mains and low-voltage cables apart; relieve every cord of pull where it enters; no joints in closed "
        "wooden bays.",
        "Bores and cut-outs in metal get a grommet or an edge strip before a cord passes them.",
        "Sockets, inlets and supplies keep the clearances of their makers, in wood as in metal.",
        "A residual-current device ahead of the desk and the fuse of the plug are chosen by whoever connects it."),
        ("IEC 60364, BS 7671 or NFPA 70, whichever is the local wiring code", "BS 6396 (electrical systems in furniture)",
         "IEC 62368-1, IEC 60335-1, IEC 61140", "IEC 60320 (appliance inlets)"))


def _bonding(model: DeskModel) -> Caution:
    mains = any(_has_mains(placed) for placed in model.parts)
    return Caution("Metal plates in a desk with mains", _named(model, _is_metal) if mains else (), (
        "Metal that can be touched and could become live through a fault is usually bonded to protective earth: each "
        "plate by "
        "itself, one screw for one bond, ring terminal and toothed washer on bare metal.",
        "Plates that merely touch, painted or anodised faces, glue, hinges and magnets are no bond.",
        "Which plates need it, and how it is tested, is decided by whoever is licensed for the connection."),
        ("IEC 61140", "IEC 62368-1", "the local wiring code"))


def _packs(model: DeskModel) -> Caution:
    return Caution("Batteries", _named(model, _is_pack), (
        "Packs and chargers as a certified pair from one maker; no drilling, screwing or soldering near a pack.",
        "A pack that is swollen, hot or dropped leaves the desk and the house.",
        "A bay with a pack is kept free of other things that burn, is vented, and can be reached without tools to "
        "unplug it.",
        "Charging without anybody near is for the maker's data sheet to allow or not."),
        ("IEC 62133-2", "UN 38.3 (transport)", "IEC 62368-1"))


def _heat(model: DeskModel) -> Caution:
    return Caution("Heat", tuple(f"{placed.name} ({placed.part.heat:g} W)" for placed in model.parts
                                 if isinstance(placed.part, Component) and placed.part.heat >= _WARM), (
        "Keep vents and the air gaps round equipment free; dust them when the covers are off anyway.",
        "Feel plates and covers after an hour at full load, before the desk is used every day; metal that is touched "
        "for long "
        "burns from about 48 °C on, wood and plastic later.",
        "No papers, cloths or foam in bays that get warm; no supply or charger wrapped in anything."),
        ("IEC 62368-1 (touch temperatures)", "ISO 13732-1 (burns from hot surfaces)"))


def _saw(model: DeskModel) -> Caution:
    return Caution("Sawing, planing and routing", _counted(model, _is_sawn, "piece of wood", "pieces of wood"), (
        "Guard, riving knife and push stick; no gloves, sleeves or cords near anything that turns; eyes and ears protected.",
        "Short, thin and bevelled pieces are held in a jig or cut from a longer piece; an offcut must not be trapped at the "
        "blade.", "Unplug before a blade, bit or knife is touched."),
        ("the manual of the machine", "EN ISO 19085 (woodworking machines)"))


def _drilling(model: DeskModel) -> Caution:
    drilled = [placed for placed in model.parts if isinstance(placed.part, Member) and any(
        type(feature).__name__ == "Hole" for feature in placed.part.features)]
    return Caution("Drilling", (f"{len(drilled)} members with holes",) if drilled else (), (
        "Work and jig are clamped, a bush is never held in the hand; long pieces are supported over their whole length.",
        "No gloves at a drill; large bits at low speed, and a hold against the turn when they break through."),
        ("the manual of the machine",))


def _edges(model: DeskModel) -> Caution:
    return Caution("Edges of sheet metal", _named(model, _is_metal), (
        "Cut edges and burrs are sharp until they are broken all round, in every opening, too: cut-resistant gloves to "
        "carry, "
        "none at a machine.", "Large plates whip: two people, upright, held at the edges.",
        "Drill sheet metal clamped between wood."), ("the cutting service's own notes on deburring",))


def _glass(model: DeskModel) -> Caution:
    return Caution("Glass", _named(model, _is_glass), (
        "Which glass is asked of the glazier: what it must bear, and how it breaks; edges ground before it is handled.",
        "Carried upright, laid on soft pads, never on screws or chips."),
        ("EN 12150-1 (toughened glass)", "EN ISO 12543 (laminated glass)"))


def _dust(model: DeskModel) -> Caution:
    kinds = sorted({placed.part.material for placed in model.parts
                    if isinstance(placed.part, Member | Plate) and _is_wood(placed)})
    return Caution("Dust", tuple(kinds), (
        "Dust of hardwood can cause cancer: extraction at the machine, a mask that fits, no sweeping and no blowing "
        "off; dust of "
        "beech and oak is not led back into the room.",
        "Dust of glued boards and veneers holds glue as well; rags with oil are laid out flat outdoors or kept under "
        "water."),
        ("Directive 2004/37/EC as amended (hardwood dust)", "the local limit for wood dust at work", "EN 149 (masks)"))


def _has_mains(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Component) and any(port.mains for port in placed.part.ports)


def _is_metal(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Plate) and material(placed.part.material).metal


def _is_glass(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Plate) and material(placed.part.material).kind == "glass"


def _is_wood(placed: PlacedPart) -> bool:
    return material(placed.part.material).kind in ("timber", "ply", "veneer")


def _is_sawn(placed: PlacedPart) -> bool:
    return isinstance(placed.part, Member | Plate) and material(placed.part.material).kind in ("timber", "ply")


def _is_pack(placed: PlacedPart) -> bool:
    part = placed.part
    return isinstance(part, Component) and any(word in f"{part.name} {part.sheet}".lower() for word in _PACKS)


def _named(model: DeskModel, wanted: Callable[[PlacedPart], bool]) -> tuple[str, ...]:
    return tuple(placed.name for placed in model.parts if wanted(placed))


def _counted(model: DeskModel, wanted: Callable[[PlacedPart], bool], one: str, many: str) -> tuple[str, ...]:
    count = len(_named(model, wanted))
    return (f"{count} {one if count == 1 else many}",) if count else ()


