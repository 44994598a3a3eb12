"""What the server of the page answers, and that nothing is left when browsers leave or the server ends."""

from __future__ import annotations

import http.client
import json
import threading
import time
from collections.abc import Iterator

import pytest

from deskmodel.serve import PageServer
from deskmodel.serve.limits import Limits
from tests.serve.clients import PAGE, POLICY, Raw, request, until


@pytest.fixture
def server() -> Iterator[PageServer]:
    with PageServer(PAGE, POLICY, limits=Limits(alive_seconds=0.2)) as running:
        yield running


def show(server: PageServer, number: int, **shapes: bytes) -> None:
    event = {"number": number, "revision": f"r{number}", "good": True}
    server.show(number, event, json.dumps({"round": number}).encode(), shapes)


def path_of(server: PageServer) -> str:
    return server.address.split(f":{server.port}", 1)[1]


def test_page_scene_and_shapes_on_one_connection(server: PageServer) -> None:
    show(server, 1, k1=b"one", k2=b"\0\xff" * 300_000)
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    expected = {"": (PAGE, "text/html; charset=utf-8", "no-store", POLICY),
                "scene": (b'{"round": 1}', "application/json", "no-store", None),
                "shape/k1": (b"one", "application/octet-stream", "private, max-age=31536000, immutable", None),
                "shape/k2": (b"\0\xff" * 300_000, "application/octet-stream", "private, max-age=31536000, immutable", None)}
    for path, (body, kind, kept, policy) in expected.items():
        for method in ("GET", "HEAD"):
            connection.request(method, path_of(server) + path)
            got = connection.getresponse()
            assert (got.status, got.getheader("Content-Type"), got.getheader("Cache-Control")) == (200, kind, kept)
            assert int(got.getheader("Content-Length") or 0) == len(body)
            assert got.read() == (body if method == "GET" else b"")
            said = got.getheader("Content-Security-Policy") or ""
            assert said == policy if policy else said.startswith("default-src 'none'; frame-ancestors 'none'")
            assert got.getheader("X-Content-Type-Options") == "nosniff"
            assert got.getheader("Referrer-Policy") == "no-referrer"
            assert got.getheader("Cross-Origin-Resource-Policy") == "same-origin"
            assert got.getheader("X-Frame-Options") == "DENY"
            assert got.getheader("Server") is None
    assert server.connections == 1
    connection.close()


def test_localhost_is_this_machine_too(server: PageServer) -> None:
    show(server, 1)
    own = f"localhost:{server.port}"
    with Raw(server.port) as raw:
        assert raw.send(request(server, "scene", host=own, Origin=f"http://{own}")).answer()[0] == 200


def test_before_the_first_round(server: PageServer) -> None:
    with Raw(server.port) as raw, Raw(server.port) as listening:
        assert json.loads(raw.send(request(server, "scene")).answer()[2])["round"]["number"] == 0
        listening.send(request(server, "events"))
        assert listening.answer()[0] == 200
        assert listening.line() == b": still here\n"


def events(raw: Raw) -> Iterator[dict[str, object]]:
    """What comes on an open connection, signs of life left out (https://html.spec.whatwg.org, server-sent events)."""
    kind = b""
    while True:
        line = raw.line()
        if line.startswith(b"event: "):
            kind = line.removeprefix(b"event: ").strip()
        elif line.startswith(b"data: "):
            assert kind in (b"round", b"verdict", b"begun")
            yield {"kind": kind.decode(), **json.loads(line.removeprefix(b"data: "))}


def test_rounds_are_told_at_once(server: PageServer) -> None:
    show(server, 1)
    with Raw(server.port) as early:
        status, fields, _ = early.send(request(server, "events", Origin=f"http://127.0.0.1:{server.port}")).answer()
        assert (status, fields["cache-control"]) == (200, "no-store")
        assert fields["content-type"] == "text/event-stream; charset=utf-8"
        assert "content-length" not in fields
        first = events(early)
        assert next(first) == {"kind": "round", "number": 1, "revision": "r1", "good": True}
        began = time.monotonic()
        show(server, 2)
        assert next(first)["number"] == 2
        assert time.monotonic() - began < 1.0
        with Raw(server.port) as late:
            late.send(request(server, "events")).answer()
            second = events(late)
            assert next(second)["number"] == 2
            for number in range(3, 40):
                show(server, number)
            for each in (first, second):  # some may be passed over, never the last one
                while next(each)["number"] != 39:
                    pass
        assert early.line() in (b"\n", b": still here\n")


def test_a_verdict_goes_before_its_round(server: PageServer) -> None:
    show(server, 1)
    with Raw(server.port) as early, Raw(server.port) as late:
        early.send(request(server, "events")).answer()
        first = events(early)
        assert next(first)["kind"] == "round"
        server.tell(2, "begun", {"number": 2})
        assert next(first) == {"kind": "begun", "number": 2}
        server.tell(2, "verdict", {"number": 2, "findings": []})
        assert next(first) == {"kind": "verdict", "number": 2, "findings": []}
        late.send(request(server, "events")).answer()
        second = events(late)
        assert sorted((str(each["kind"]), each["number"]) for each in (next(second), next(second))) == [
            ("round", 1), ("verdict", 2)]
        with Raw(server.port) as raw:  # what is served is still the round before
            assert json.loads(raw.send(request(server, "scene")).answer()[2])["round"] == 1
        show(server, 2)
        for each in (first, second):
            assert next(each) == {"kind": "round", "number": 2, "revision": "r2", "good": True}
        with Raw(server.port) as latest:  # nothing is told of a round twice
            latest.send(request(server, "events")).answer()
            third = events(latest)
            assert next(third)["kind"] == "round"
            assert latest.line() in (b"\n", b": still here\n")


def test_shapes_of_the_round_before_are_still_there(server: PageServer) -> None:
    show(server, 1, old=b"old")
    show(server, 2, new=b"new")
    with Raw(server.port) as raw:
        assert raw.send(request(server, "shape/old")).answer()[2] == b"old"
        show(server, 3, new=b"new")
        assert raw.send(request(server, "shape/old")).answer()[0] == 404


def test_a_browser_that_is_closed_leaves_nothing(server: PageServer) -> None:
    show(server, 1, k=b"a" * 1_000_000)
    for _ in range(20):
        raws = [Raw(server.port) for _ in range(4)]
        raws[0].send(request(server, "events")).answer()
        raws[1].send(request(server, "shape/k"))
        raws[2].send(b"GET /")
        for raw in raws:
            raw.close()
    assert until(lambda: server.connections == 0)
    show(server, 2)
    assert until(lambda: server.connections == 0)


def test_it_ends_whatever_it_is_at() -> None:
    for turn in range(200):  # at each turn something else is half done
        server = PageServer(PAGE, POLICY)
        show(server, 1)
        raws = [Raw(server.port) for _ in range(3)]
        raws[0].send(request(server, "events"))
        raws[1].send(b"GET /")
        if turn % 2:
            show(server, 2)
        if turn % 3:
            raws[0].answer()
        ending = threading.Thread(target=server.close, daemon=True)
        ending.start()
        ending.join(20)
        assert not ending.is_alive(), f"turn {turn} has no end"
        for raw in raws:
            raw.close()


def test_the_end_ends_everything() -> None:
    before = threading.active_count()
    server = PageServer(PAGE, POLICY)
    show(server, 1)
    raws = [Raw(server.port) for _ in range(3)]
    assert raws[0].send(request(server, "events")).answer()[0] == 200
    raws[1].send(b"GET /")
    assert threading.active_count() == before + 1
    assert until(lambda: server.connections == 3)
    server.close()
    server.close()
    assert threading.active_count() == before
    for raw in raws:
        while raw.line():  # the event that came before the end
            pass
        raw.close()
    show(server, 2)  # too late is no fault
    with pytest.raises(ConnectionRefusedError):
        Raw(server.port)
    with PageServer(PAGE, POLICY, port=server.port) as again:
        assert again.port == server.port
