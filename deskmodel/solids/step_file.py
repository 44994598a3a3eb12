"""STEP by the kernel: the entities of one shape, and what a written file holds when the kernel reads it again.

The kernel numbers entities by counters of its process, stamps the time, and names what it was not told to name.
So it only writes the geometry of single shapes here; their entities are numbered anew in the order in which they
are first referred to, which depends on nothing but the shape. ``deskmodel.exporters.step`` builds the assembly.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deskmodel.errors import BuildFault
from deskmodel.frames import Pose, Vec

__all__ = ["Measure", "ReadOccurrence", "StepBody", "StepContent", "measure_shape", "read_step", "step_body"]

_ENTITY = re.compile(r"#(\d+)=((?:'(?:[^']|'')*'|[^';]++)*+);")
_REFERENCE = re.compile(r"#(\d+)")
_MINUS_ZERO = re.compile(r"-0\.(?<=[(,]-0\.)(?=[,)])")  # begins with plain text: that is looked for quickly
_SOLID = "MANIFOLD_SOLID_BREP(", "BREP_WITH_VOIDS("


@dataclass(frozen=True, slots=True)
class Measure:
    """Volume (mm³) and the corners of the box (mm, part frame) of a shape."""

    volume: float
    low: Vec
    high: Vec


@dataclass(frozen=True, slots=True)
class StepBody:
    """The geometry of one shape as entities of STEP part 42, in the part's frame, mm.

    ``entities[i]`` is entity number i + 1; references are ``#n`` with these numbers. ``solids`` are the numbers of
    the bodies (MANIFOLD_SOLID_BREP or BREP_WITH_VOIDS).
    """

    entities: tuple[str, ...]
    solids: tuple[int, ...]
    measure: Measure


@dataclass(frozen=True, slots=True)
class ReadOccurrence:
    """One placed part as read back: ``colour`` is sRGB, 0 to 1 each; ``product`` counts the different shapes."""

    name: str
    pose: Pose
    colour: tuple[float, float, float] | None
    product: int


@dataclass(frozen=True, slots=True)
class StepContent:
    name: str
    occurrences: tuple[ReadOccurrence, ...]
    products: tuple[Measure, ...]
    product_names: tuple[str, ...]


def measure_shape(shape: object) -> Measure:
    """Volume and box by the kernel: exact integration, box without the tolerances of edges."""
    from deskmodel.solids.measure import bounding_box, volume

    return Measure(volume(shape), *bounding_box(shape))


def step_body(shape: object) -> StepBody:
    """The entities of a solid or a compound of solids (an OCP ``TopoDS_Shape``)."""
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_Static
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    from deskmodel.solids.brep import kernel

    writer = STEPControl_Writer()  # first: it makes the settings known
    stream = io.BytesIO()
    wanted = {"write.surfacecurve.mode": 0, "write.step.unit": 2}  # no curves in parameter space; 2: millimetre
    with kernel("to write STEP"), _quiet(), _settings(Interface_Static, wanted):
        if writer.Transfer(shape, STEPControl_AsIs) != IFSelect_RetDone:
            raise BuildFault("the kernel could not turn a shape into STEP entities")
        if writer.WriteStream(stream) != IFSelect_RetDone:
            raise BuildFault("the kernel could not write a shape as STEP")
    return _renumbered(stream.getvalue().decode("ascii"), measure_shape(shape))


def _renumbered(text: str, measure: Measure) -> StepBody:
    # a shape that was kept as bytes has 0 where the one that was built has -0 (OCCT 7.9.3)
    data = _MINUS_ZERO.sub("0.", "".join(text[text.index("DATA;"):].split()))
    # of each entity its text, and at odd places the numbers that it refers to
    entities = {number: _REFERENCE.split(body) for number, body in _ENTITY.findall(data)}
    solids = sorted((number for number, pieces in entities.items() if pieces[0].startswith(_SOLID)), key=int)
    if not solids:
        raise BuildFault("a shape without a solid cannot be written as STEP")
    order: dict[str, int] = {}
    stack = solids[::-1]
    while stack:  # depth first, in the order of the references
        number = stack.pop()
        if number not in order:
            order[number] = len(order) + 1
            stack += entities[number][-2::-2]
    for number in order:
        pieces = entities[number]
        pieces[1::2] = [f"#{order[each]}" for each in pieces[1::2]]
    return StepBody(tuple("".join(entities[number]) for number in order), tuple(order[number] for number in solids), measure)


def read_step(path: Path) -> StepContent:
    """What another program finds in an assembly file; raises BuildFault where the kernel cannot read it. Outlines that cross
    are read as they stand in the file."""
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.STEPCAFControl import STEPCAFControl_Reader
    from OCP.TCollection import TCollection_ExtendedString
    from OCP.TDF import TDF_Label, TDF_LabelSequence
    from OCP.TDocStd import TDocStd_Document
    from OCP.XCAFDoc import XCAFDoc_DocumentTool

    from deskmodel.solids.brep import kernel

    if not path.is_file():
        raise BuildFault(f"{path.name} was not written")
    document = TDocStd_Document(TCollection_ExtendedString("deskmodel"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    with kernel("to read STEP"), _quiet():
        read = reader.ReadFile(str(path)) == IFSelect_RetDone
        _mend_no_outlines(reader)
        if not read or not reader.Transfer(document):
            raise BuildFault(f"{path.name} cannot be read back")
    tool = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    roots = TDF_LabelSequence()
    tool.GetFreeShapes(roots)
    if roots.Length() != 1:
        raise BuildFault(f"{path.name} holds {roots.Length()} assemblies instead of one")
    components = TDF_LabelSequence()
    tool.GetComponents_s(roots.Value(1), components)
    seen: list[Any] = []
    occurrences: list[ReadOccurrence] = []
    for i in range(1, components.Length() + 1):
        label = components.Value(i)
        product = TDF_Label()
        if not tool.GetReferredShape_s(label, product):
            raise BuildFault(f"{path.name}: an occurrence without its product")
        index = next((k for k, other in enumerate(seen) if other.IsEqual(product)), len(seen))
        if index == len(seen):
            seen.append(product)
        occurrences.append(ReadOccurrence(_name(label), _pose(tool.GetLocation_s(label)),
                                          _colour(colours, label) or _colour(colours, product), index))
    return StepContent(_name(roots.Value(1)), tuple(occurrences),
                       tuple(measure_shape(tool.GetShape_s(product)) for product in seen),
                       tuple(_name(product) for product in seen))


def _mend_no_outlines(reader: Any) -> None:
    """Of all that the kernel does to a shape as it reads it, leave out that outlines of faces which cross themselves or each
    other are mended: what was written wrongly is not to be put right before it is measured. It also asks each edge of a face
    about all others, which takes 2 s of 3 where a plate has 760 vents (OCCT 7.9.3)."""
    from OCP.DE import DE_ShapeFixParameters
    from OCP.TCollection import TCollection_AsciiString

    reader.SetShapeFixParameters(DE_ShapeFixParameters())  # all as it is by default, but by name
    parameters = reader.ChangeReader().GetShapeFixParameters()
    for name in ("FixSelfIntersectionMode", "FixIntersectingWiresMode"):
        key = TCollection_AsciiString(f"FixShape.{name}")
        if not parameters.UnBind(key):
            raise BuildFault(f"the kernel does not know {name}")
        parameters.Bind(key, TCollection_AsciiString("0"))
    reader.SetShapeFixParameters(parameters)


def _name(label: Any) -> str:
    from OCP.TDataStd import TDataStd_Name

    attribute = TDataStd_Name()
    if not label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return ""
    return str(attribute.Get().ToExtString())


def _pose(location: Any) -> Pose:
    transformation = location.Transformation()
    row = [[transformation.Value(i, j) for j in range(1, 5)] for i in range(1, 4)]
    return Pose(((row[0][0], row[0][1], row[0][2]), (row[1][0], row[1][1], row[1][2]),
                 (row[2][0], row[2][1], row[2][2])), (row[0][3], row[1][3], row[2][3]))


def _colour(tool: Any, label: Any) -> tuple[float, float, float] | None:
    from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
    from OCP.XCAFDoc import XCAFDoc_ColorGen, XCAFDoc_ColorSurf

    colour = Quantity_Color()
    for kind in (XCAFDoc_ColorSurf, XCAFDoc_ColorGen):
        if tool.GetColor_s(label, kind, colour):
            values = colour.Values(Quantity_TOC_sRGB)
            return (values[0], values[1], values[2])
    return None


@contextmanager
def _quiet() -> Iterator[None]:
    """The kernel prints its progress on standard output, which belongs to the user's pipes (OCCT 7.9)."""
    from OCP.Message import Message

    messenger = Message.DefaultMessenger_s()
    printers = list(messenger.Printers())
    messenger.ChangePrinters().Clear()
    try:
        yield
    finally:
        for printer in printers:
            messenger.AddPrinter(printer)


@contextmanager
def _settings(static: Any, wanted: Mapping[str, int]) -> Iterator[None]:
    """Settings of the kernel's writer, which are the whole process's and somebody else's afterwards."""
    before = {name: static.IVal_s(name) for name in wanted}
    try:
        for name, value in wanted.items():
            if not static.SetIVal_s(name, value):
                raise BuildFault(f"the kernel does not know {name}")
        yield
    finally:
        for name, value in before.items():
            static.SetIVal_s(name, value)
