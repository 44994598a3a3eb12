"""The disk cache: atomic, checked, bounded, shared, and never in the way."""

from __future__ import annotations

import multiprocessing
import os
import time
from pathlib import Path

import pytest

from deskmodel.cache import DiskCache, geometry_salt
from deskmodel.cache import disk as disk_module


def test_what_was_put_is_got(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path, salt="a")
    assert cache.get("plate") is None
    assert cache.put("plate", b"\0\xff" * 1000)
    assert cache.get("plate") == b"\0\xff" * 1000
    assert DiskCache(tmp_path, salt="a").get("plate") == b"\0\xff" * 1000
    assert DiskCache(tmp_path, salt="b").get("plate") is None  # made by other code


@pytest.mark.parametrize("damage", ["truncate", "flip", "empty", "head"])
def test_a_damaged_entry_is_a_miss_and_goes(tmp_path: Path, damage: str) -> None:
    cache = DiskCache(tmp_path)
    cache.put("x", b"measured" * 100)
    path = cache.path("x")
    assert path is not None
    raw = bytearray(path.read_bytes())
    if damage == "truncate":
        raw = raw[:-1]
    elif damage == "flip":
        raw[-5] ^= 1
    elif damage == "empty":
        raw = bytearray()
    else:
        raw[0] ^= 1
    path.write_bytes(raw)
    assert cache.get("x") is None
    assert not path.exists()
    assert cache.put("x", b"again")
    assert cache.get("x") == b"again"


def test_bounded_and_the_least_recently_used_go(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path, limit=50_000)
    for k in range(5):
        cache.put(str(k), bytes(9000))
        path = cache.path(str(k))
        assert path is not None
        os.utime(path, (1000.0 + k, 1000.0 + k))
    cache.get("0")  # used: now the youngest
    for k in range(5, 8):
        cache.put(str(k), bytes(9000))
    left = sum(path.stat().st_size for path in tmp_path.rglob("*.bin"))
    assert left <= 50_000
    assert cache.get("0") is not None
    assert cache.get("1") is None
    assert cache.get("7") is not None


def test_one_entry_larger_than_the_bound_is_not_kept(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path, limit=1000)
    assert not cache.put("huge", bytes(2000))
    assert cache.get("huge") is None


def test_files_of_others_are_left_alone(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path, limit=2000)
    cache.put("x", bytes(900))
    path = cache.path("x")
    assert path is not None
    (path.parent / "notes.txt").write_text("mine")
    for k in range(9):
        cache.put(f"y{k}", bytes(900))
    assert (path.parent / "notes.txt").read_text() == "mine"


def test_what_a_dead_process_left_is_swept_away(tmp_path: Path) -> None:
    cache = DiskCache(tmp_path, limit=2000)
    (tmp_path / "ab").mkdir()
    old, new = tmp_path / "ab" / "old.tmp", tmp_path / "ab" / "new.tmp"
    old.write_bytes(b"half")
    new.write_bytes(b"half")
    os.utime(old, (time.time() - 7200,) * 2)
    cache.put("x", b"y")  # counts the folder
    assert not old.exists()
    assert new.exists()  # somebody may be writing it now


def test_switched_off(monkeypatch: pytest.MonkeyPatch) -> None:
    off = DiskCache(None)
    assert not off.put("x", b"y")
    assert off.get("x") is None
    for said in ("off", ""):
        monkeypatch.setenv("DESKMODEL_CACHE", said)
        assert disk_module.default_folder() is None


def test_where_it_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("DESKMODEL_CACHE", str(tmp_path / "own"))
    assert disk_module.default_folder() == tmp_path / "own"
    monkeypatch.delenv("DESKMODEL_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert disk_module.default_folder() == tmp_path / "xdg" / "deskmodel"  # XDG Base Directory Specification 0.8


def test_a_folder_that_cannot_be_made_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    cache = DiskCache(tmp_path / "file" / "below")
    assert not cache.put("x", b"y")
    assert cache.get("x") is None


def _hammer(folder: str, who: int) -> None:
    cache = DiskCache(folder, limit=200_000)
    for k in range(300):
        key = str(k % 40)
        body = cache.get(key)
        # every body is one byte repeated: anything else was torn
        assert body is None or (len(body) == 5000 and len(set(body)) == 1)
        cache.put(key, bytes([who]) * 5000)


def test_several_processes_at_once(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    workers = [context.Process(target=_hammer, args=(str(tmp_path), who)) for who in range(3)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
        assert worker.exitcode == 0


def test_salt_follows_the_sources(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from deskmodel.cache import salt

    before = geometry_salt()
    assert before == geometry_salt()
    copy = tmp_path / "deskmodel"
    for folder in ("cache", "solids", "meshes", "fit"):
        (copy / folder).mkdir(parents=True)
    (copy / "fit" / "a.py").write_text("x = 1")
    (copy / "tolerances.py").write_text("OVERLAP = 0.01")
    (copy / "frames.py").write_text("")
    monkeypatch.setattr(salt, "_PACKAGE", copy)
    seen = set()
    for text in ("OVERLAP = 0.01", "OVERLAP = 0.02"):
        (copy / "tolerances.py").write_text(text)
        geometry_salt.cache_clear()
        seen.add(geometry_salt())
    (copy / "fit" / "b.py").write_text("")
    geometry_salt.cache_clear()
    seen.add(geometry_salt())
    monkeypatch.setattr(salt.metadata, "version", lambda name: "99")
    geometry_salt.cache_clear()
    seen.add(geometry_salt())
    geometry_salt.cache_clear()
    assert len(seen) == 4
