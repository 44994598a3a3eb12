"""Prepared shapes by key, in memory and on disk. A start that finds all of them on disk never loads the kernel."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from typing import Any, Protocol

from deskmodel.cache import DiskCache, default_cache
from deskmodel.errors import BuildFault, InputFault
from deskmodel.meshes.prepared import PreparedShape

__all__ = ["ShapeSource", "ShapeStore"]

_MEMORY = 400 << 20  # bytes of prepared shapes kept beyond those in use
_MADE = 600 << 20  # bytes, roughly, of trees and solids made from them
_BREPS = 256  # kernel shapes kept


class ShapeSource(Protocol):
    """A shape that can be asked for. Equal keys mean equal geometry."""

    @property
    def key(self) -> str: ...

    def build(self) -> object: ...


class ShapeStore:
    """``cache`` None: the user's own. A shape that could not be prepared stays known as such, with the reason."""

    def __init__(self, cache: DiskCache | None = None, *, memory: int = _MEMORY) -> None:
        self.cache = default_cache() if cache is None else cache
        self._memory = memory
        self._shapes: OrderedDict[str, tuple[PreparedShape, int]] = OrderedDict()  # with the round it was used in
        self._bytes = 0
        self._made: OrderedDict[str, PreparedShape] = OrderedDict()
        self._made_bytes = 0
        self._failed: dict[str, str] = {}
        self._breps: OrderedDict[str, tuple[Any, list[Any]]] = OrderedDict()
        self._round = 0
        self.built = 0  # shapes prepared from the kernel's, since the start
        self.loaded = 0  # shapes read from the disk cache

    def next_round(self) -> None:
        """Shapes used from now on stay in memory until the next call; the oldest of the others may go."""
        self._round += 1
        while self._bytes > self._memory and self._shapes:
            key, (shape, used) = next(iter(self._shapes.items()))
            if used >= self._round - 1:
                break
            del self._shapes[key]
            self._bytes -= shape.nbytes
            if self._made.pop(key, None) is not None:
                self._made_bytes -= shape.made_bytes
        for key in [key for key in self._breps if key not in self._shapes]:
            del self._breps[key]

    def using(self, shape: PreparedShape) -> None:
        """Say that a shape is about to be measured: what was made for those not measured for longest may go."""
        if shape.key in self._made:
            self._made.move_to_end(shape.key)
            return
        self._made[shape.key] = shape
        self._made_bytes += shape.made_bytes
        while self._made_bytes > _MADE and len(self._made) > 2:  # the pair at hand stays
            _, oldest = self._made.popitem(last=False)
            self._made_bytes -= oldest.made_bytes
            oldest.forget()

    def prepared(self, source: ShapeSource) -> PreparedShape:
        """Raises BuildFault with the reason where the shape cannot be prepared."""
        key = source.key
        found = self._shapes.get(key)
        if found is not None:
            if found[1] != self._round:
                self._shapes[key] = (found[0], self._round)
                self._shapes.move_to_end(key)
            return found[0]
        if key in self._failed:
            raise BuildFault(self._failed[key])
        shape = self._stored(key) or self._prepare(source)
        self._shapes[key] = (shape, self._round)
        self._bytes += shape.nbytes
        return shape

    def brep(self, source: ShapeSource) -> Any:
        """The kernel's shape. Raises BuildFault."""
        return self._exact(source)[0]

    def faces(self, source: ShapeSource) -> list[Any]:
        """The kernel's faces, in the order of the prepared shape's. Raises BuildFault."""
        return self._exact(source)[1]

    def _stored(self, key: str) -> PreparedShape | None:
        block = self.cache.get(f"shape:{key}")
        if block is None:
            return None
        try:
            shape = PreparedShape.from_bytes(block)
        except ValueError:
            return None
        self.loaded += 1
        return shape

    def _prepare(self, source: ShapeSource) -> PreparedShape:
        from deskmodel.meshes.prepare import prepare
        from deskmodel.solids.brep import kernel

        brep = self._exact(source)[0]
        try:
            with kernel("to mesh a shape"):
                shape = prepare(source.key, brep)
        except BuildFault as fault:
            self._failed[source.key] = str(fault)
            raise
        self.built += 1
        self.cache.put(f"shape:{source.key}", shape.to_bytes())
        return shape

    def _exact(self, source: ShapeSource) -> tuple[Any, list[Any]]:
        key = source.key
        found = self._breps.get(key)
        if found is None:
            found = self._read_brep(key) or self._build_brep(source)
            self._breps[key] = found
            while len(self._breps) > _BREPS:
                self._breps.popitem(last=False)
        else:
            self._breps.move_to_end(key)
        return found

    def _read_brep(self, key: str) -> tuple[Any, list[Any]] | None:
        raw = self.cache.get(f"brep:{key}")
        if raw is None:
            return None
        from deskmodel.solids.brep import faces_of, from_bytes

        try:
            brep = from_bytes(raw)
        except BuildFault:
            self.cache.remove(f"brep:{key}")
            return None
        return brep, faces_of(brep)

    def _build_brep(self, source: ShapeSource) -> tuple[Any, list[Any]]:
        from deskmodel.solids.brep import faces_of, to_bytes

        try:
            brep = _built(source.build)
            if self.cache.on:
                self.cache.put(f"brep:{source.key}", to_bytes(brep))
            return brep, faces_of(brep)
        except BuildFault as fault:
            self._failed[source.key] = str(fault)
            raise


def _built(work: Callable[[], Any]) -> Any:
    """The work's result. Whatever a shape's own code raises makes that shape one that cannot be measured."""
    try:
        return work()
    except (BuildFault, InputFault, MemoryError):
        raise
    except Exception as error:
        raise BuildFault(f"{type(error).__name__}: {error}") from error
