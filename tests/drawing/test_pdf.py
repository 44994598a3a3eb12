"""Records to PDF, read by two other readers: true size (measured at 600 dpi), lettering, fonts, nothing that acts."""

from __future__ import annotations

import io
import math

import numpy as np
import pypdf
import pypdfium2
import pytest
from PIL import Image

from deskmodel.drawing import LAYERS, Drawing, Path, Picture, Record, Text, drawable, pdf_bytes, png_bytes, svg_bytes
from deskmodel.drawing.dimensions import polyline
from deskmodel.drawing.lettering import MISSING, width_of
from deskmodel.drawing.pdf import drawn
from deskmodel.errors import BuildFault
from deskmodel.profiles import Profile, circle, obround

DPI = 600
A4 = (210.0, 297.0)
NAMES = ["<script>alert(1)</script>", "a & b", "it's \"quoted\"", ") Tj (", "\\(\\)", "=cmd", "../../x",
         "Tür – Ø 8 × 40 ½ 20°", "Ящик Ελλ", "ffi AVAV To", "ends-"]


def file(*records: Record, size: tuple[float, float] = A4) -> bytes:
    return pdf_bytes([Drawing(size, "t", "revision x", records)], "t", "revision x")


def scanned(data: bytes, page: int = 0) -> np.ndarray:
    """(h, w) darkness of the page at 600 dpi, 0 to 255."""
    shown = pypdfium2.PdfDocument(data)[page].render(scale=DPI / 72, grayscale=True).to_numpy()
    return 255 - np.asarray(shown).reshape(shown.shape[:2]).astype(int)


def ink(dark: np.ndarray) -> tuple[float, float, float, float]:
    """(x low, y low, x high, y high) of what is drawn, mm from the lower left corner."""
    rows, columns = np.nonzero(dark > 127)
    mm = 25.4 / DPI
    return (columns.min() * mm, (len(dark) - rows.max() - 1) * mm, (columns.max() + 1) * mm, (len(dark) - rows.min()) * mm)


@pytest.mark.parametrize("length", [10.0, 123.4, 180.0])
def test_a_length_is_that_length_on_paper(length: float) -> None:
    """Ticks across a line, in x and in y: measured from middle to middle, so the width of lines does not count."""
    for turned in (False, True):
        ticks = [polyline("thin", *(((y, x) if turned else (x, y)) for y in (20.0, 30.0))) for x in (15.0, 15.0 + length)]
        x0, y0, x1, y1 = ink(scanned(file(*ticks)))
        wide = (y1 - y0 if turned else x1 - x0) - LAYERS["thin"].width
        assert wide == pytest.approx(length, abs=0.06)
        assert (y0 if turned else x0) == pytest.approx(15 - LAYERS["thin"].width / 2, abs=0.06)


def test_pages_have_the_size_of_their_drawings() -> None:
    """ISO 216: A4 is 210 × 297, A3 297 × 420."""
    data = pdf_bytes([Drawing(size, "t", "r", ()) for size in (A4, (420, 297))], "t", "r")
    sizes = [[float(each) / 72 * 25.4 for each in page.mediabox[2:]] for page in pypdf.PdfReader(io.BytesIO(data)).pages]
    assert sizes == [pytest.approx(A4, abs=1e-3), pytest.approx((420, 297), abs=1e-3)]
    with pytest.raises(BuildFault):
        pdf_bytes([], "t", "r")


@pytest.mark.parametrize("shape", [circle(80, (100, 150)), obround(120, 31, (100, 150)), Profile((
    (60, 100, 0.2), (140, 100, -0.7), (150, 180, 1.6), (70, 190, 0.0)))])
def test_arcs_are_where_the_outline_is(shape: Profile) -> None:
    """Every inked pixel lies within half a line of the outline, by its own closed-form distance, and all of it is inked."""
    dark = scanned(file(Path("thin", (shape.vertices,))))
    rows, columns = np.nonzero(dark > 200)
    mm = 25.4 / DPI
    rng = np.random.default_rng(1)
    for i in rng.choice(len(rows), 300, replace=False):
        p = ((columns[i] + 0.5) * mm, (len(dark) - rows[i] - 0.5) * mm)
        assert shape.distance(p) < LAYERS["thin"].width / 2 + mm
    for x, y in shape.points(math.radians(2)):
        assert dark[len(dark) - 1 - int(y / mm), int(x / mm)] > 127


def test_fills_holes_and_dashes() -> None:
    ring = Path("fill", (circle(60, (100, 150)).vertices, circle(30, (100, 150)).vertices), (0, 0, 0))
    share = (scanned(file(ring)) > 127).mean()
    assert share == pytest.approx(math.pi * (30**2 - 15**2) / (210 * 297), rel=0.01)
    lines = [scanned(file(polyline(layer, (20, 100), (180, 100)))).sum() / (255 - max(LAYERS[layer].colour))
             for layer in ("hidden", "thin")]
    line, gap = LAYERS["hidden"].dashes
    assert lines[0] / lines[1] == pytest.approx(line / (line + gap), abs=0.03)


@pytest.mark.parametrize("name", NAMES)
def test_any_name_is_text_for_two_readers(name: str) -> None:
    data = pdf_bytes([Drawing(A4, name, name, (Text(name, (20, 50), 2.5), Text(name, (90, 80), 3.5, "middle", 90, True)))],
                     name, name)
    reader = pypdf.PdfReader(io.BytesIO(data))
    assert reader.pages[0].extract_text().split("\n") == [name, name]
    lettering = pypdfium2.PdfDocument(data)[0].get_textpage().get_text_range()
    assert lettering.replace("\ufffe", "-").count(name) == 2
    assert (reader.metadata.title, reader.metadata.subject) == (name, name)
    for sign in (b"/JavaScript", b"/Annots", b"/OpenAction", b"/URI", b"/AcroForm"):
        assert sign not in data


def test_signs_that_the_font_lacks() -> None:
    """They are drawn as a box, or spelled out by whoever asks; one beyond 0xFFFF that the font has counts as lacking."""
    for name in ("桌子", "\ud800", "\U0001fa91", "\U0001d538", "a\nb\x00"):
        shown = drawn(name)
        assert set(shown) <= {"a", "b", MISSING}
        data = file(Text(name, (20, 50), 2.5))
        assert pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text().strip() == shown
        assert drawn(drawable(name)) == drawable(name)
    assert drawable("桌\n") == "\\u684c\\x0a"
    assert drawable("\U0001fa91") == "\\U0001fa91"
    assert drawable("Tür – Ø 8 × 40 ½") == "Tür – Ø 8 × 40 ½"


def test_fonts_are_embedded_and_printers_asked_not_to_scale() -> None:
    reader = pypdf.PdfReader(io.BytesIO(file(Text("a", (20, 20), 3), Text("b", (20, 30), 3, bold=True))))
    fonts = [font.get_object() for font in reader.pages[0]["/Resources"]["/Font"].values()]
    assert {font["/BaseFont"].split("+")[1] for font in fonts} == {"DejaVuSans", "DejaVuSans-Bold"}
    assert all("/FontFile2" in font["/FontDescriptor"] for font in fonts)
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"


@pytest.mark.parametrize(("anchor", "turn"), [(a, t) for a in ("start", "middle", "end") for t in (0, 90)])
@pytest.mark.parametrize("bold", [False, True])
def test_lettering_is_as_wide_and_high_as_was_measured(anchor: str, turn: int, bold: bool) -> None:
    text = "HAVAV–To 8 × 40 mmH"
    x0, y0, x1, y1 = ink(scanned(file(Text(text, (100, 150), 4, anchor, turn, bold))))
    if turn:  # turned back by a quarter about (100, 150)
        x0, x1, y0, y1 = 100 + y0 - 150, 100 + y1 - 150, 150 - (x1 - 100), 150 - (x0 - 100)
    wide = width_of(text, 4, bold)
    start = {"start": 100, "middle": 100 - wide / 2, "end": 100 - wide}[anchor]
    assert y0 == pytest.approx(150, abs=0.1)
    assert y1 == pytest.approx(154, abs=0.15)  # the o is a little higher than capitals
    assert x0 == pytest.approx(start + 0.54 * (1 if not bold else 0.93), abs=0.1)  # side bearing of the H: 0.098 of the size
    assert x1 == pytest.approx(start + wide - 0.54 * (1 if not bold else 0.93), abs=0.1)


def test_bytes_are_the_same_every_time() -> None:
    records = (Text("Ø 20 ½", (5, 5), 3, turn=90), Path("hidden", (circle(20, (30, 20)).vertices,)))
    pages = [Drawing(A4, "t", "r", records), Drawing((297, 210), "t", "r", records)]
    one = pdf_bytes(pages, "t", "r")
    file(Text("another between", (5, 5), 3, bold=True))
    assert pdf_bytes(pages, "t", "r") == one


def test_pictures_in_all_formats() -> None:
    """A picture half red, half white, 60 × 40 on paper: the red half is where it says."""
    pixels = Image.new("RGB", (6, 4), (255, 255, 255))
    pixels.paste((255, 0, 0), (0, 0, 3, 4))
    out = io.BytesIO()
    pixels.save(out, "PNG")
    picture = Picture(out.getvalue(), (20.0, 30.0), (60.0, 40.0))
    assert ink(scanned(file(picture)) * 2) == pytest.approx((20, 30, 50, 70), abs=0.1)
    made = Drawing((100, 80), "t", "r", (picture,))
    seen = np.asarray(Image.open(io.BytesIO(png_bytes(made))).convert("RGB")).astype(int)
    rows, columns = np.nonzero(seen[:, :, 1] < 128)
    assert (columns.min() / 6, (columns.max() + 1) / 6) == pytest.approx((20, 50), abs=0.2)
    assert (80 - (rows.max() + 1) / 6, 80 - rows.min() / 6) == pytest.approx((30, 70), abs=0.2)
    assert b'<image x="20" y="10" width="60" height="40"' in svg_bytes(made)
