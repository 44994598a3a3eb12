"""A stand-in for the watch's server: what the live page asks for, from scenes that the test hands over."""

from __future__ import annotations

import json
import queue
import threading
from collections.abc import Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from deskmodel.page import Scene, csp_header, live_page

__all__ = ["StandIn"]

TOKEN = "t0k3n"


class StandIn:
    """``url`` of the page; ``tell`` says what the next round came to, ``show`` makes it, of a scene, or of a fault over the
    last one."""

    def __init__(self) -> None:
        self.record: dict[str, Any] = {}
        self.shapes: dict[str, bytes] = {}
        self.asked: list[str] = []
        self._number = 0
        self._listeners: list[queue.Queue[str]] = []
        stand_in = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                stand_in.answer(self)

            def log_message(self, *said: object) -> None:
                pass

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self._server.daemon_threads = True
        threading.Thread(target=self._server.serve_forever, daemon=True).start()
        self.url = f"http://127.0.0.1:{self._server.server_address[1]}/{TOKEN}/"

    def begin(self) -> int:
        """The round that is shown next has begun."""
        return self._tell("begun", {})

    def tell(self, **said: Any) -> int:
        """The verdict of the round that is shown next."""
        return self._tell("verdict", {"fault": None, "findings": None, "checks": None, "changes": None, **said})

    def _tell(self, kind: str, data: Mapping[str, Any]) -> int:
        number = self._number + 1
        for listener in self._listeners:
            listener.put(f"event: {kind}\ndata: {json.dumps({'number': number, **data})}\n\n")
        return number

    def show(self, scene: Scene | None, fault: str | None = None, changes: Mapping[str, Any] | None = None) -> int:
        self._number += 1
        if scene is not None:
            self.record = dict(scene.record)
            self.shapes |= scene.shapes
        self.record["round"] = {"number": self._number, "seconds": {"all": 0.1}, "fault": fault and {"text": fault},
                                "changes": changes or {"new": [], "gone": [], "still": []}}
        for listener in self._listeners:
            listener.put(self._event())
        return self._number

    def close(self) -> None:
        for listener in self._listeners:
            listener.put("")
        self._server.shutdown()
        self._server.server_close()

    def _event(self) -> str:
        data = {"number": self._number, "revision": self.record.get("revision"), "good": True}
        return f"event: round\ndata: {json.dumps(data)}\n\n"

    def answer(self, asked: BaseHTTPRequestHandler) -> None:
        path = asked.path.removeprefix(f"/{TOKEN}/")
        self.asked.append(path)
        if path == "events":
            return self._events(asked)
        key = path.removeprefix("shape/")
        found = {"": ("text/html; charset=utf-8", live_page()),
                 "scene": ("application/json", json.dumps(self.record).encode())}.get(path)
        if found is None and key in self.shapes:
            found = "application/octet-stream", self.shapes[key]
        if found is None:
            asked.send_error(404)
            return None
        asked.send_response(200)
        asked.send_header("Content-Type", found[0])
        asked.send_header("Content-Length", str(len(found[1])))
        asked.send_header("Content-Security-Policy", csp_header())
        asked.end_headers()
        asked.wfile.write(found[1])
        return None

    def _events(self, asked: BaseHTTPRequestHandler) -> None:
        asked.send_response(200)
        asked.send_header("Content-Type", "text/event-stream")
        asked.end_headers()
        mine: queue.Queue[str] = queue.Queue()
        mine.put(self._event())
        self._listeners.append(mine)
        try:
            while text := mine.get():
                asked.wfile.write(text.encode())
                asked.wfile.flush()
        except OSError:
            pass
