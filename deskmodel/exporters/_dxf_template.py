"""An empty DXF (AC1015, mm) with the layers of a plate, by the DXF library: what is not entities in every file.

Loading the library takes longer than writing all plates of a desk, so the text is made once and kept by its version.
"""

from __future__ import annotations

import io
import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass
from importlib.metadata import version
from typing import Any

from deskmodel.cache import DiskCache
from deskmodel.errors import BuildFault

__all__ = ["BEND", "CUT", "LAYERS", "MARK", "MILL", "Template", "dxf_template"]

CUT, MILL, MARK = "CUT", "MILL", "MARK"
BEND = {"up": "BEND-UP", "down": "BEND-DOWN"}
LAYERS = {CUT: 7, "BEND-UP": 5, "BEND-DOWN": 1, MILL: 3, MARK: 8}
"""Name -> colour number."""

_MADE = 1  # raise it when this file makes another text
_ENTITIES = "  2\nENTITIES\n"
_LOW, _HIGH, _CENTRE, _HEIGHT = (1234567.25, 2345671.25), (3456712.25, 4567123.25), (5671234.25, 6712345.25), 7123456.25


@dataclass(frozen=True, slots=True)
class Template:
    """``before`` and ``after`` the entities; ``owner`` and ``seed``: handles of the model space and the first free one, both
    hexadecimal."""

    before: str
    after: str
    owner: str
    seed: str

    def filled(self, entities: str, handles: int, size: tuple[float, float]) -> str:
        """A whole file of these entities, which took so many ``handles`` from ``seed`` on, in a window of that size."""
        width, height = size
        values = {_LOW[0]: 0.0, _LOW[1]: 0.0, _HIGH[0]: width, _HIGH[1]: height, _CENTRE[0]: width / 2,
                  _CENTRE[1]: height / 2, _HEIGHT: 1.2 * max(size)}
        before = self.before.replace(f"$HANDSEED\n  5\n{self.seed}\n", f"$HANDSEED\n  5\n{int(self.seed, 16) + handles:X}\n")
        for stands, value in values.items():
            before = before.replace(f"\n{stands}\n", f"\n{value!r}\n")
        return before + entities + self.after


def dxf_template(cache: DiskCache) -> Template:
    """Kept in ``cache`` by the version of the library."""
    key = f"dxf-template:{_MADE}:{version('ezdxf')}:{LAYERS}"
    kept = cache.get(key)
    if kept is not None:
        try:
            return Template(**json.loads(kept))
        except (ValueError, TypeError):
            cache.remove(key)
    made = _made()
    cache.put(key, json.dumps(asdict(made)).encode())
    return made


def _made() -> Template:
    with _without_clock() as ezdxf:
        doc = ezdxf.new("R2000", units=4)
        doc.header["$MEASUREMENT"] = 1
        for layer, colour in LAYERS.items():
            made = doc.layers.add(layer, color=colour)
            if layer == MARK:
                made.off()
                made.dxf.plot = 0
        doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (*_LOW, 0), (*_HIGH, 0)
        doc.modelspace().dxf.extmin, doc.modelspace().dxf.extmax = (*_LOW, 0), (*_HIGH, 0)
        doc.set_modelspace_vport(_HEIGHT, center=_CENTRE)
        out = io.StringIO(newline="")
        doc.write(out)
        text = out.getvalue().replace("\r\n", "\n")
    owner, seed = doc.modelspace().layout_key, doc.header["$HANDSEED"]
    before, found, after = text.partition(_ENTITIES)
    if not found or not after.startswith("  0\nENDSEC\n") or f"$HANDSEED\n  5\n{seed}\n" not in before:
        raise BuildFault("the DXF library writes files of another form than was known")
    return Template(before + found, after, owner, seed)


@contextmanager
def _without_clock() -> Iterator[Any]:
    """The library, told to write neither time nor random numbers; what its option was before is put back."""
    import ezdxf

    library: Any = ezdxf  # its options are not among what it declares
    options = library.options
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield library
    finally:
        options.write_fixed_meta_data_for_testing = before
