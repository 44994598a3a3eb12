"""``model.step``: the desk as an assembly (AP214, mm): one product per shape, one named occurrence per part.

The entities of the product structure are written here, those of the geometry come from the kernel
(``deskmodel.solids.step_file``). No time, no counters, no entity order of the kernel: equal desks give equal bytes.
The entities follow what common readers expect of an assembly: ISO 10303-44 for the structure, -46 for colours.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, Vec
from deskmodel.solids.step_file import Measure, StepBody, StepContent, read_step

__all__ = ["Occurrence", "Product", "check_step", "step_text"]

Colour = tuple[float, float, float]
_REFERENCE = re.compile(r"#(\d+)")
_SCHEMA = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
_NO_TIME = "1970-01-01T00:00:00"
"""The header must hold a time; the time of writing would make every run differ."""


@dataclass(frozen=True, slots=True)
class Product:
    """A shape, with the colour (sRGB, 0 to 1) of its occurrences."""

    name: str
    body: StepBody
    colour: Colour


@dataclass(frozen=True, slots=True)
class Occurrence:
    """A part: ``product`` is an index; ``colour`` may differ from the product's."""

    name: str
    product: int
    pose: Pose
    colour: Colour


def step_text(desk: str, remarks: Sequence[str], products: Sequence[Product],
              occurrences: Sequence[Occurrence]) -> str:
    """The whole file. ``remarks`` go into the header's description (revision, "UNRELEASED")."""
    described = ",".join(_string(remark) for remark in ("assembly of a desk, mm", *remarks))
    header = ("ISO-10303-21;\nHEADER;\n"
              f"FILE_DESCRIPTION(({described}),'2;1');\n"
              f"FILE_NAME({_string(desk)},'{_NO_TIME}',(''),(''),'deskmodel','deskmodel','');\n"
              f"FILE_SCHEMA(('{_SCHEMA}'));\nENDSEC;\nDATA;\n")
    lines = "".join(f"#{number}={entity};\n"
                    for number, entity in enumerate(_Assembly(desk, products, occurrences).entities, start=1))
    return f"{header}{lines}ENDSEC;\nEND-ISO-10303-21;\n"


def check_step(path: Path, desk: str, products: Sequence[Product], occurrences: Sequence[Occurrence],
               read: Callable[[Path], StepContent] = read_step) -> None:
    """Raise BuildFault unless the kernel finds in the file what was put in: names, counts, places, colours,
    volumes (1e-6 of each) and boxes (1e-5 mm)."""
    content = read(path)
    if content.name != desk:
        raise BuildFault(f"{path.name}: the desk is called {content.name!r} instead of {desk!r}")
    used = sorted({occurrence.product for occurrence in occurrences})
    if len(content.products) != len(used):
        raise BuildFault(f"{path.name}: {len(content.products)} products instead of {len(used)}")
    if len(content.occurrences) != len(occurrences):
        raise BuildFault(f"{path.name}: {len(content.occurrences)} occurrences instead of {len(occurrences)}")
    for found, written in zip(content.occurrences, occurrences, strict=True):
        if found.name != written.name:
            raise BuildFault(f"{path.name}: a part is called {found.name!r} instead of {written.name!r}")
        if not _same_pose(found.pose, written.pose):
            raise BuildFault(f"{path.name}: {written.name!r} stands elsewhere")
        if found.colour is None or max(abs(a - b) for a, b in zip(found.colour, written.colour, strict=True)) > 2e-3:
            raise BuildFault(f"{path.name}: {written.name!r} has the colour {found.colour}")
        fault = _difference(content.products[found.product], products[written.product].body.measure)
        if fault:
            raise BuildFault(f"{path.name}: {written.name!r} {fault}")


def _same_pose(a: Pose, b: Pose) -> bool:
    turned = max(abs(x - y) for u, v in zip(a.rotation, b.rotation, strict=True) for x, y in zip(u, v, strict=True))
    return turned < 1e-9 and max(abs(x - y) for x, y in zip(a.origin, b.origin, strict=True)) < 1e-6


def _difference(read: Measure, written: Measure) -> str | None:
    if abs(read.volume - written.volume) > 1e-6 * abs(written.volume):
        return f"has a volume of {read.volume} instead of {written.volume} mm³"
    corners = zip((*read.low, *read.high), (*written.low, *written.high), strict=True)
    if max(abs(a - b) for a, b in corners) > 1e-5:
        return f"spans {read.low} to {read.high} instead of {written.low} to {written.high} mm"
    return None


class _Assembly:
    """Collects the entities; each method appends some and returns the number of the one to refer to."""

    def __init__(self, desk: str, products: Sequence[Product], occurrences: Sequence[Occurrence]) -> None:
        self.entities: list[str] = []
        self.application = self.add("APPLICATION_CONTEXT('core data for automotive mechanical design processes')")
        self.add("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,"
                 f"#{self.application})")
        self.context = self._units()
        self.frame = self._placement(Pose())
        self.styles: dict[Colour, int] = {}
        styled: list[int] = []
        places = [self._placement(occurrence.pose) for occurrence in occurrences]
        frames = "".join(f",#{place}" for place in places)
        assembly = self.add(f"SHAPE_REPRESENTATION('',(#{self.frame}{frames}),#{self.context})")
        whole = self._product(_identity(desk, "desk"), desk, assembly)
        used = {occurrence.product for occurrence in occurrences}
        bodies = {index: self._shape(index, product, styled)
                  for index, product in enumerate(products) if index in used}
        for count, (occurrence, place) in enumerate(zip(occurrences, places, strict=True), start=1):
            definition, shape, solids, items = bodies[occurrence.product]
            placed = self._occurrence(count, occurrence, place, (whole, assembly), (definition, shape))
            if occurrence.colour != products[occurrence.product].colour:
                styled.extend(self._override(placed, place, occurrence.colour, solids, items))
        if styled:
            items_text = ",".join(f"#{item}" for item in styled)
            self.add(f"MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',({items_text}),#{self.context})")

    def add(self, entity: str) -> int:
        self.entities.append(entity)
        return len(self.entities)

    def _units(self) -> int:
        length = self.add("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))")
        angle = self.add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))")
        solid = self.add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())")
        accuracy = self.add(f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-07),#{length},"
                            "'distance_accuracy_value','confusion accuracy')")
        return self.add(f"(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{accuracy}))"
                        f"GLOBAL_UNIT_ASSIGNED_CONTEXT((#{length},#{angle},#{solid}))"
                        "REPRESENTATION_CONTEXT('desk','3D'))")

    def _placement(self, pose: Pose) -> int:
        point = self.add(f"CARTESIAN_POINT('',{_vector(pose.origin)})")
        z = self.add(f"DIRECTION('',{_vector(pose.axis(2))})")
        x = self.add(f"DIRECTION('',{_vector(pose.axis(0))})")
        return self.add(f"AXIS2_PLACEMENT_3D('',#{point},#{z},#{x})")

    def _product(self, identity: str, name: str, representation: int) -> int:
        """Returns the product definition, to which ``representation`` is tied."""
        context = self.add(f"PRODUCT_CONTEXT('',#{self.application},'mechanical')")
        product = self.add(f"PRODUCT({_string(identity)},{_string(name)},'',(#{context}))")
        self.add(f"PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))")
        formation = self.add(f"PRODUCT_DEFINITION_FORMATION('','',#{product})")
        design = self.add(f"PRODUCT_DEFINITION_CONTEXT('part definition',#{self.application},'design')")
        definition = self.add(f"PRODUCT_DEFINITION('design','',#{formation},#{design})")
        shape = self.add(f"PRODUCT_DEFINITION_SHAPE('','',#{definition})")
        self.add(f"SHAPE_DEFINITION_REPRESENTATION(#{shape},#{representation})")
        return definition

    def _shape(self, index: int, product: Product,
               styled: list[int]) -> tuple[int, int, tuple[int, ...], tuple[int, ...]]:
        """Returns product definition, shape representation, its solids and their styled items."""
        base = len(self.entities)
        for entity in product.body.entities:
            self.add(_REFERENCE.sub(lambda match: f"#{int(match[1]) + base}", entity))
        solids = tuple(base + solid for solid in product.body.solids)
        bodies = "".join(f",#{solid}" for solid in solids)
        shape = self.add(f"ADVANCED_BREP_SHAPE_REPRESENTATION('',(#{self.frame}{bodies}),#{self.context})")
        definition = self._product(_identity(product.name, f"shape {index + 1}"), product.name, shape)
        style = self._style(product.colour)
        assignment = self.add(f"PRESENTATION_STYLE_ASSIGNMENT((#{style}))")
        items = tuple(self.add(f"STYLED_ITEM('color',(#{assignment}),#{solid})") for solid in solids)
        styled.extend(items)
        return definition, shape, solids, items

    def _occurrence(self, count: int, occurrence: Occurrence, place: int, whole: tuple[int, int],
                    part: tuple[int, int]) -> int:
        """Returns the product definition shape of the placed part."""
        identity = _identity(occurrence.name, str(count))
        usage = self.add(f"NEXT_ASSEMBLY_USAGE_OCCURRENCE({_string(identity)},{_string(occurrence.name)},'',"
                         f"#{whole[0]},#{part[0]},$)")
        placed = self.add(f"PRODUCT_DEFINITION_SHAPE('Placement','Placement of an item',#{usage})")
        transformation = self.add(f"ITEM_DEFINED_TRANSFORMATION('','',#{self.frame},#{place})")
        relation = self.add(f"(REPRESENTATION_RELATIONSHIP('','',#{part[1]},#{whole[1]})"
                            f"REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{transformation})"
                            "SHAPE_REPRESENTATION_RELATIONSHIP())")
        self.add(f"CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{relation},#{placed})")
        return placed

    def _override(self, placed: int, place: int, colour: Colour, solids: tuple[int, ...],
                  items: tuple[int, ...]) -> list[int]:
        """The colour of one occurrence where it is not that of its product."""
        shown = self.add(f"SHAPE_REPRESENTATION('',(#{place}),#{self.context})")
        self.add(f"SHAPE_DEFINITION_REPRESENTATION(#{placed},#{shown})")
        style = self.add(f"PRESENTATION_STYLE_BY_CONTEXT((#{self._style(colour)}),#{shown})")
        return [self.add(f"OVER_RIDING_STYLED_ITEM('overriding color',(#{style}),#{solid},#{item})")
                for solid, item in zip(solids, items, strict=True)]

    def _style(self, colour: Colour) -> int:
        if colour not in self.styles:
            rgb = self.add(f"COLOUR_RGB('',{','.join(_real(c) for c in colour)})")
            fill = self.add(f"FILL_AREA_STYLE_COLOUR('',#{rgb})")
            area = self.add(f"FILL_AREA_STYLE('',(#{fill}))")
            surface = self.add(f"SURFACE_STYLE_FILL_AREA(#{area})")
            side = self.add(f"SURFACE_SIDE_STYLE('',(#{surface}))")
            self.styles[colour] = self.add(f"SURFACE_STYLE_USAGE(.BOTH.,#{side})")
        return self.styles[colour]


def _vector(v: Vec) -> str:
    return f"({','.join(_real(c) for c in v)})"


def _real(value: float) -> str:
    """ISO 10303-21: a real has a point, its exponent a capital E; -0 is written as 0."""
    if not math.isfinite(value):
        raise BuildFault(f"{value} cannot be written into a STEP file")
    mantissa, _, exponent = repr(value + 0.0).partition("e")
    point = "" if "." in mantissa else "."
    return f"{mantissa}{point}E{exponent}" if exponent else f"{mantissa}{point}"


def _identity(name: str, otherwise: str) -> str:
    """An id that is the name itself where the kernel's reader would show the id instead of the name: it takes a name
    without any printable ASCII character for an empty one (OCCT 7.9.3; the Chinese word for table, for instance)."""
    return otherwise if any("!" <= c <= "~" for c in name) else name


def _string(text: str) -> str:
    """ISO 10303-21, 6.4.3: backslashes doubled; everything beyond ASCII as hexadecimal, and apostrophes too: doubled,
    as the standard allows, they let the kernel's reader lose entities or crash where a comma or a bracket follows
    (OCCT 7.9.3: a product called "a'',b")."""
    def wide(match: re.Match[str]) -> str:
        run = match[0]
        if all(ord(c) < 0x10000 for c in run):
            return "\\X2\\" + "".join(f"{ord(c):04X}" for c in run) + "\\X0\\"
        return "\\X4\\" + "".join(f"{ord(c):08X}" for c in run) + "\\X0\\"

    return "'" + re.sub(r"[^\x20-\x26\x28-\x7e]+", wide, text.replace("\\", "\\\\")) + "'"


