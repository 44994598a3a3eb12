"""Clients of the page's server: raw sockets, which say what no library would."""

from __future__ import annotations

import socket
import time
from collections.abc import Callable

from deskmodel.serve import PageServer

__all__ = ["PAGE", "POLICY", "Raw", "request", "until"]

PAGE = b"<!doctype html><title>stand-in</title>"
POLICY = "default-src 'none'; frame-ancestors 'none'"


def request(server: PageServer, path: str = "", method: str = "GET", host: str | None = None, **fields: str) -> bytes:
    """A request for ``path`` below the token, as a browser sends it. ``fields``: _ stands for -."""
    target = server.address.split(f":{server.port}", 1)[1] + path
    lines = [f"{method} {target} HTTP/1.1", f"Host: {host or f'127.0.0.1:{server.port}'}"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in fields.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")


class Raw:
    """One connection. ``status``, ``fields`` and ``body`` of the next answer."""

    def __init__(self, port: int, timeout: float = 10.0) -> None:
        self.socket = socket.create_connection(("127.0.0.1", port), timeout)
        self._file = self.socket.makefile("rb")

    def __enter__(self) -> Raw:
        return self

    def __exit__(self, *about: object) -> None:
        self.close()

    def close(self) -> None:
        self._file.close()
        self.socket.close()

    def send(self, data: bytes) -> Raw:
        self.socket.sendall(data)
        return self

    def answer(self, *, bare: bool = False) -> tuple[int, dict[str, str], bytes]:
        """(status, fields by small letters, body); status 0 where the server closed without an answer."""
        line = self._file.readline()
        if not line:
            return 0, {}, b""
        fields: dict[str, str] = {}
        while (each := self._file.readline().rstrip(b"\r\n")):
            name, value = each.decode("latin-1").split(": ", 1)
            assert name.lower() not in fields
            fields[name.lower()] = value
        size = 0 if bare else int(fields.get("content-length", "0"))
        return int(line.split()[1]), fields, self._file.read(size)

    def line(self) -> bytes:
        return self._file.readline()

    def ended(self) -> bool:
        """Whether the server has closed it, with nothing left to read."""
        try:
            return self._file.read(1) == b""
        except ConnectionResetError:
            return True


def until(true: Callable[[], bool], seconds: float = 10.0) -> bool:
    """Whether it became true in time."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if true():
            return True
        time.sleep(0.01)
    return true()
