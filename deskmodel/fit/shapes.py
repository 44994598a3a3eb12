"""The distinct shapes of one problem: prepared, numbered, with their boxes and axes as arrays."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from deskmodel.errors import BuildFault
from deskmodel.fit.problem import BodyShape
from deskmodel.fit.spin import Axes
from deskmodel.meshes.prepared import PreparedShape
from deskmodel.meshes.store import ShapeStore

__all__ = ["ShapeTable"]

_EVERYWHERE = 1e7  # mm; half box of a shape whose size is unknown: near everything, so that no pair is dropped


class ShapeTable:
    """``of_body`` (n,): number of each body's shape. ``why[k]``: reason why shape k is not prepared, or ""."""

    def __init__(self, store: ShapeStore, sources: Sequence[BodyShape]) -> None:
        self._store = store
        self.sources: list[BodyShape] = []
        self.keys: list[str] = []
        self.why: list[str] = []
        self._prepared: list[PreparedShape | None] = []
        self._boxes: list[NDArray[np.float64]] = []
        self._numbers: dict[str, int] = {}
        self._axes: Axes | None = None
        seen: dict[int, int] = {}  # one object, one key: asked once
        numbers = []
        for source in sources:
            number = seen.get(id(source))
            if number is None:
                number = seen[id(source)] = self.add(source)
            numbers.append(number)
        self.of_body = np.array(numbers, dtype=np.int64)

    def add(self, source: BodyShape) -> int:
        """Number of the shape; it is prepared when it is new."""
        key = source.key
        number = self._numbers.get(key)
        if number is not None:
            return number
        shape: PreparedShape | None = None
        why = ""
        try:
            shape = self._store.prepared(source)
            box = shape.box
        except BuildFault as fault:
            why, box = str(fault) or "the shape could not be prepared", self._kernel_box(source)
        number = self._numbers[key] = len(self.sources)
        self.sources.append(source)
        self.keys.append(key)
        self.why.append(why)
        self._prepared.append(shape)
        self._boxes.append(box)
        self._axes = None
        return number

    def prepared(self, number: int) -> PreparedShape:
        shape = self._prepared[number]
        if shape is None:
            raise BuildFault(self.why[number])
        return shape

    @property
    def boxes(self) -> NDArray[np.float64]:
        """(k, 2, 3)."""
        return np.array(self._boxes).reshape(-1, 2, 3)

    @property
    def axes(self) -> Axes:
        if self._axes is None:
            found = [None if shape is None else shape.axis for shape in self._prepared]
            zero = ((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))
            self._axes = Axes(np.array([axis is not None for axis in found], dtype=bool),
                              np.array([(axis or zero)[0] for axis in found]),
                              np.array([(axis or zero)[1] for axis in found]))
        return self._axes

    def other_first(self, first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Where the second shape is to be the base: the body of revolution must not be, else the order of the keys
        decides, so that equal pairs are told in equal order."""
        rank = np.empty(len(self.keys), dtype=np.int64)
        rank[np.argsort(np.array(self.keys, dtype=object), kind="stable")] = np.arange(len(self.keys))
        round_, has = self.axes.has, rank
        swap: NDArray[np.bool_] = np.where(round_[first] == round_[second], has[first] > has[second], round_[first])
        return swap

    @staticmethod
    def digest(key: tuple[str, str, float, bool, bytes]) -> bytes:
        a, b, minimum, overlaps, pose = key
        text = f"{a}\0{b}\0{minimum!r}\0{overlaps}\0".encode()
        return hashlib.blake2b(text + pose, digest_size=16).digest()

    def _kernel_box(self, source: BodyShape) -> NDArray[np.float64]:
        """Where a shape that cannot be meshed may be met at all."""
        try:
            from deskmodel.solids.measure import bounding_box

            return np.array(bounding_box(self._store.brep(source)))
        except Exception:  # nothing is known of it, so everything is near it
            return np.array([[-_EVERYWHERE] * 3, [_EVERYWHERE] * 3])
