"""A small HTTP server for one page, one desk and the browsers of this machine.

It listens on 127.0.0.1 only; every address begins with a token that nobody can guess; requests are read strictly
(``request``), each within bounds (``limits``); nothing can be written; what is served lies in memory, and a path is looked
up there as it was sent, so none can lead to the disk. All runs in one thread of its own, beside the kernel's.
"""

from __future__ import annotations

import asyncio
import hmac
import json
import secrets
import socket
import threading
from collections import ChainMap
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from types import TracebackType

from deskmodel.errors import BuildFault, InputFault
from deskmodel.serve.answer import EVENTS, FOR_GOOD, Answer, head_of, refusal
from deskmodel.serve.limits import Limits
from deskmodel.serve.request import Refused, Request, check_sender, head_too_large, read_head

__all__ = ["PageServer"]

_HOST = "127.0.0.1"
_PIECE = 64 << 10
_THREAD = "deskmodel page"


@dataclass(frozen=True, slots=True)
class _Shown:
    """What is served at one time. ``shapes``: also those of the round before, which a page may still be asking for."""

    number: int = 0
    event: bytes = b""
    scene: bytes = b'{"round": {"number": 0, "seconds": {}, "fault": null, "changes": null}}'
    shapes: Mapping[str, bytes] = field(default_factory=dict)


class PageServer:
    """At work from the start until ``close``; also a context manager."""

    def __init__(self, page: bytes, policy: str, *, port: int = 0, limits: Limits | None = None) -> None:
        """``page``: the HTML, with ``policy`` as its Content-Security-Policy; ``port`` 0: a free one. Raises InputFault
        where the port cannot be had."""
        self._page, self._policy = page, policy
        self._limits = limits or Limits()
        self._token = secrets.token_urlsafe(32)
        self._shown = _Shown()
        self._told = 0, 0, b""  # running number, round, event
        self._listening = _listening(port)
        self.port: int = self._listening.getsockname()[1]
        self._busy: set[asyncio.Task[None]] = set()
        self._turned_away = 0
        self._streams = 0
        self._ready = threading.Event()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ending: asyncio.Event
        self._news: asyncio.Event
        self._thread = threading.Thread(target=self._run, name=_THREAD, daemon=True)
        self._thread.start()
        self._ready.wait()
        if self._loop is None:
            raise BuildFault("the server of the page could not be started")

    @property
    def address(self) -> str:
        """What is typed into a browser; whoever knows it can look."""
        return f"http://{_HOST}:{self.port}/{self._token}/"

    @property
    def connections(self) -> int:
        """At work just now."""
        return len(self._busy)

    def show(self, number: int, event: Mapping[str, object], scene: bytes, shapes: Mapping[str, bytes]) -> None:
        """From now on serve this round (``scene``: JSON; ``shapes`` by key), and tell it to all who listen."""
        told = _event("round", event)
        before = self._shown.shapes.maps[0] if isinstance(self._shown.shapes, ChainMap) else {}
        self._shown = _Shown(number, told, scene, ChainMap(dict(shapes), dict(before)))
        self._wake()

    def tell(self, number: int, kind: str, data: Mapping[str, object]) -> None:
        """Tell all who listen what is known of a round that is not to be served yet: an event of that kind."""
        self._told = self._told[0] + 1, number, _event(kind, data)
        self._wake()

    def close(self) -> None:
        """End every connection, the thread and the port. May be called again."""
        if self._loop is not None:
            with suppress(RuntimeError):
                self._loop.call_soon_threadsafe(self._ending.set)
        self._thread.join()

    def __enter__(self) -> PageServer:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def _run(self) -> None:
        try:
            asyncio.run(self._serve())
        finally:
            self._listening.close()
            self._ready.set()

    async def _serve(self) -> None:
        self._ending, self._news = asyncio.Event(), asyncio.Event()
        server = await asyncio.start_server(self._connected, sock=self._listening, limit=_PIECE)
        self._loop = asyncio.get_running_loop()
        self._ready.set()
        await self._ending.wait()
        server.close()
        while self._busy:  # again and again: a connection may begin while the others end
            for task in self._busy:
                task.cancel()
            await asyncio.wait(self._busy, timeout=0.1)

    def _wake(self) -> None:
        """Everybody who listens looks for what is new."""
        if self._loop is not None:
            with suppress(RuntimeError):  # closed meanwhile
                self._loop.call_soon_threadsafe(self._tell)

    def _tell(self) -> None:
        self._news.set()
        self._news = asyncio.Event()

    async def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None
        full = len(self._busy) - self._turned_away >= self._limits.connections
        if full and self._turned_away >= self._limits.connections // 2:
            writer.transport.abort()
            return
        self._busy.add(task)
        self._turned_away += full
        try:
            if full:
                await self._refuse(reader, writer, Refused(503, "Too many connections.", {"Retry-After": "1"}))
            else:
                await self._talk(reader, writer)
        except (OSError, asyncio.CancelledError):  # TimeoutError is an OSError
            pass  # gone, slow, or the server ends
        finally:
            writer.transport.abort()  # what was to be sent has been sent
            self._turned_away -= full
            self._busy.discard(task)

    async def _talk(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Request after request until one side ends it."""
        held = b""
        keep = True
        while keep:
            head: bytes | None = None
            try:
                head, held = await self._head(reader, held)
                if head is None:
                    return
                request = read_head(head, self._limits)
                check_sender(request, self.port)
                answer = self._answer(request)
            except Refused as refused:
                await self._refuse(reader, writer, refused, bare=head is not None and head.startswith(b"HEAD "))
                return
            keep = request.keep and answer.body is not None
            await self._send(writer, head_of(answer, keep=keep))
            if request.method == "GET" and answer.body is not None:
                await self._send(writer, answer.body)
            elif request.method == "GET":
                await self._stream(reader, writer)
        await self._finish(writer)

    async def _head(self, reader: asyncio.StreamReader, data: bytes) -> tuple[bytes | None, bytes]:
        """(the next head without its end, what came behind it); None where the client has left. Raises Refused."""
        if not data:
            try:
                async with asyncio.timeout(self._limits.idle_seconds):  # wait_for of 3.11 can swallow a cancellation
                    data = await reader.read(_PIECE)
            except TimeoutError:
                return None, b""
        try:
            async with asyncio.timeout(self._limits.head_seconds):
                while (end := data.find(b"\r\n\r\n")) < 0:
                    if refused := head_too_large(data, self._limits):
                        raise refused
                    piece = await reader.read(_PIECE)
                    if not piece:
                        return None, b""
                    data += piece
        except TimeoutError:
            raise Refused(408, "The request did not come to an end in time.") from None
        if refused := head_too_large(data[:end], self._limits):
            raise refused
        return data[:end], data[end + 4:]

    def _answer(self, request: Request) -> Answer:
        shown = self._shown
        token, _, path = request.target.removeprefix("/").partition("/")
        known = hmac.compare_digest(token.encode(), self._token.encode())
        if known and request.target.startswith(f"/{token}/"):
            if path == "":
                return Answer(200, "text/html; charset=utf-8", self._page, policy=self._policy)
            if path == "scene":
                return Answer(200, "application/json", shown.scene)
            if path == "events":
                if self._streams >= self._limits.streams:
                    raise Refused(503, "Too many listen already.", {"Retry-After": "5"})
                return Answer(200, EVENTS, None)
            if path.startswith("shape/") and (shape := shown.shapes.get(path.removeprefix("shape/"))) is not None:
                return Answer(200, "application/octet-stream", shape, FOR_GOOD)
        raise Refused(404, "There is nothing here.")

    async def _stream(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Each round from now on, the last one at once, until the client leaves; and what is known of one before it is
        served."""
        left = asyncio.ensure_future(self._until_left(reader))
        self._streams += 1
        told = ahead = 0
        try:
            while not left.done():
                news, shown = asyncio.ensure_future(self._news.wait()), self._shown
                running, number, event = self._told
                try:
                    if running > ahead and number > shown.number:
                        ahead = running
                        await self._send(writer, event)
                    if shown.number != told:
                        told = shown.number
                        await self._send(writer, shown.event)
                    done, _ = await asyncio.wait({left, news}, timeout=self._limits.alive_seconds,
                                                 return_when=asyncio.FIRST_COMPLETED)
                finally:
                    news.cancel()
                if not done:
                    await self._send(writer, b": still here\n\n")
        finally:
            self._streams -= 1
            left.cancel()

    @staticmethod
    async def _until_left(reader: asyncio.StreamReader) -> None:
        """A client that listens has no more to say; whatever it sends is thrown away."""
        with suppress(OSError):
            while await reader.read(_PIECE):
                pass

    async def _send(self, writer: asyncio.StreamWriter, data: bytes) -> None:
        view = memoryview(data)
        for start in range(0, len(view), _PIECE):
            writer.write(view[start:start + _PIECE])
            async with asyncio.timeout(self._limits.stall_seconds):
                await writer.drain()

    async def _refuse(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, refused: Refused, *,
                      bare: bool = False) -> None:
        """``bare``: it asked for the head only."""
        answer = refusal(refused)
        assert answer.body is not None
        await self._send(writer, head_of(answer, keep=False) + (b"" if bare else answer.body))
        writer.write_eof()
        with suppress(TimeoutError):
            async with asyncio.timeout(self._limits.linger_seconds):
                await self._until_left(reader)
        await self._finish(writer)

    async def _finish(self, writer: asyncio.StreamWriter) -> None:
        """Everything sent, or given up."""
        writer.close()
        async with asyncio.timeout(self._limits.stall_seconds):
            await writer.wait_closed()


def _event(kind: str, data: Mapping[str, object]) -> bytes:
    return f"event: {kind}\ndata: {json.dumps(data)}\n\n".encode()


def _listening(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind((_HOST, port))
        listening.listen(64)
    except (OSError, OverflowError) as error:
        listening.close()
        raise InputFault(f"port {port} of {_HOST} cannot be had: {getattr(error, 'strerror', None) or error}", key="--port",
                         allowed="a free port from 1024 to 65535; without --port one is found") from None
    return listening
