"""What the server of the page refuses, each with its answer (statuses: RFC 9110 section 15, RFC 6585)."""

from __future__ import annotations

import http.client
import os
import socket
import time
from collections.abc import Iterator

import pytest

from deskmodel.errors import InputFault
from deskmodel.serve import PageServer
from deskmodel.serve.limits import Limits
from tests.serve.clients import PAGE, POLICY, Raw, request, until


@pytest.fixture
def server() -> Iterator[PageServer]:
    with PageServer(PAGE, POLICY, limits=Limits(linger_seconds=0.5, head_seconds=0.5, idle_seconds=1.0)) as running:
        running.show(1, {"number": 1}, b'{"name": "desk"}', {"k1": b"blob"})
        yield running


def answered(server: PageServer, data: bytes, status: int) -> dict[str, str]:
    """The fields of the answer, which has to have this status, to tell nothing of the page, and to be the last one."""
    with Raw(server.port) as raw:
        got, fields, body = raw.send(data).answer(bare=data.startswith(b"HEAD "))
        assert got == status, body
        assert PAGE not in body
        assert b"desk" not in body
        assert fields["connection"] == "close"
        assert fields["cache-control"] == "no-store"
        assert "access-control-allow-origin" not in fields
        assert raw.ended()
    return fields


def test_foreign_hosts(server: PageServer) -> None:
    for host in ("desk.example", f"desk.example:{server.port}", "127.0.0.1", "127.0.0.1:1",
                 f"127.0.0.1:{server.port}.example", f"127.0.0.2:{server.port}", f"[::1]:{server.port}",
                 f"localhost.example:{server.port}", "''", ","):
        answered(server, request(server, host=host), 421)
    answered(server, request(server).replace(b"Host: ", b"X: "), 400)  # RFC 9112 3.2: none, or two
    answered(server, request(server, Host="desk.example"), 400)


def test_foreign_origins(server: PageServer) -> None:
    for origin in ("https://desk.example", "null", f"https://127.0.0.1:{server.port}", "http://127.0.0.1:1", "http://127.0.0.1",
                   f"http://localhost:{server.port}", f"http://127.0.0.1:{server.port}.example", ""):
        for path in ("", "scene", "events", "shape/k1"):
            answered(server, request(server, path, Origin=origin), 403)
    for site in ("cross-site", "same-site", "anything"):
        answered(server, request(server, "scene", Sec_Fetch_Site=site), 403)
    own = f"http://127.0.0.1:{server.port}"
    with Raw(server.port) as raw:
        assert raw.send(request(server, "scene", Origin=own, Sec_Fetch_Site="same-origin")).answer()[0] == 200


def test_missing_and_wrong_tokens(server: PageServer) -> None:
    token = server.address.split("/")[3]
    assert len(token) >= 43  # 256 bits
    wrong = ("a" * len(token), token[:-1], token + "a", token.swapcase(), "", f"%{ord(token[0]):x}{token[1:]}", "..")
    texts = set()
    for each in (*wrong, "scene", "events", "favicon.ico"):
        for rest in ("", "/", "/scene"):
            data = f"GET /{each}{rest} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode()
            with Raw(server.port) as raw:
                status, fields, body = raw.send(data).answer()
            assert status == 404
            fields.pop("date")
            texts.add((body, *sorted(fields.items())))
    answered(server, request(server, "nothing"), 404)  # nobody learns from the answer whether the token was right
    assert len(texts) == 1
    with PageServer(PAGE, POLICY) as other:
        assert other.address.split("/")[3] != token


def test_paths_that_would_leave(server: PageServer) -> None:
    for path in ("../", "../../etc/passwd", "shape/../scene", "shape/../../etc/passwd", "..%2f..%2fetc/passwd",
                 "%2e%2e/%2e%2e/etc/passwd", "shape/%2e%2e%2fscene", "shape/..\\..\\etc\\passwd", "shape//etc/passwd",
                 "/etc/passwd", "//", "scene/", "scene?x=1", "scene%00", "shape/", "shape/k1/", "shape/K1", ".", "./scene", "file:///etc/passwd",
                 "scene#x", os.path.abspath(__file__)):
        answered(server, request(server, path), 404)
    for target in ("/etc/passwd", "/../../etc/passwd", "*", "etc/passwd", f"http://127.0.0.1:{server.port}/",
                   f"{server.address}scene", "//127.0.0.1/", "/", "\\", "/%2e%2e/"):
        answered(server, f"GET {target} HTTP/1.1\r\nHost: 127.0.0.1:{server.port}\r\n\r\n".encode(), 404)


def test_huge_requests(server: PageServer) -> None:
    answered(server, request(server, "a" * 3000), 414)
    answered(server, request(server, "a" * 5_000_000), 414)
    answered(server, request(server, Long="a" * 20_000), 431)
    answered(server, request(server, Long="a" * 5_000_000), 431)
    answered(server, request(server, **{f"Field{n}": "1" for n in range(70)}), 431)
    answered(server, b"a" * 4000, 414)
    for fields in ({"Content_Length": "1"}, {"Content_Length": "5000000"}, {"Content_Length": "-1"}, {"Content_Length": "x"},
                   {"Transfer_Encoding": "chunked"}, {"Transfer_Encoding": ""}):
        answered(server, request(server, "scene", **fields) + b"a" * 1_000_000, 413)
    with Raw(server.port) as raw:  # an empty one is none
        assert raw.send(request(server, "scene", Content_Length="0")).answer()[0] == 200


def test_other_methods(server: PageServer) -> None:
    for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "get", "PROPFIND", "G" * 30):
        for path in ("", "scene", "shape/k1"):
            assert answered(server, request(server, path, method=method, Content_Length="0"), 405)["allow"] == "GET, HEAD"


def test_what_is_no_request(server: PageServer) -> None:
    good = request(server, "scene")
    head = good.removesuffix(b"\r\n\r\n")
    for bad in (b"\r\n\r\n", b"hello\r\n\r\n", b"\0" * 100 + b"\r\n\r\n", good.replace(b"HTTP/1.1", b"HTTP/1"),
                good.replace(b" HTTP/1.1", b""), good.replace(b"GET ", b"GET  "), good.replace(b"scene", b"sc\xc3\xa9ne"),
                head + b"\r\nno colon\r\n\r\n", head + b"\r\n folded: line\r\n\r\n", head + b"\r\nName : x\r\n\r\n",
                head + b"\r\nX: a\0b\r\n\r\n", head + b"\r\nX: a\nY: b\r\n\r\n", head + b"\r\n: x\r\n\r\n",
                b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\r\n\r\n"):
        answered(server, bad, 400)
    for version in (b"HTTP/2.0", b"HTTP/0.9", b"HTTP/1.2"):
        answered(server, good.replace(b"HTTP/1.1", version), 505)
    with Raw(server.port) as raw:  # the last request on a connection with a bad one behind it
        raw.send(good + b"rubbish\r\n\r\n")
        assert [raw.answer()[0], raw.answer()[0]] == [200, 400]


def test_slow_clients(server: PageServer) -> None:
    with Raw(server.port) as silent, Raw(server.port) as slow:
        slow.send(b"GET / HT")
        began = time.monotonic()
        assert slow.answer()[0] == 408
        assert slow.ended()
        assert silent.answer()[0] == 0
        assert time.monotonic() - began < 5.0
    with Raw(server.port) as dripping:
        began = time.monotonic()
        try:
            for byte in request(server):  # a byte now and then keeps nothing open
                dripping.send(bytes([byte]))
                time.sleep(0.05)
        except OSError:
            pass
        assert time.monotonic() - began < 5.0
    assert until(lambda: server.connections == 0)


def test_a_client_that_takes_nothing() -> None:
    limits = Limits(stall_seconds=0.3)
    with PageServer(PAGE, POLICY, limits=limits) as server:
        server.show(1, {"number": 1}, b"{}", {"big": b"a" * (64 << 20)})
        with Raw(server.port) as raw:
            raw.send(request(server, "shape/big"))
            assert until(lambda: server.connections == 1)
            assert until(lambda: server.connections == 0, 10.0)


def test_too_many_connections() -> None:
    limits = Limits(connections=6, streams=3, linger_seconds=0.5)
    with PageServer(PAGE, POLICY, limits=limits) as server:
        server.show(1, {"number": 1}, b"{}", {})
        listening = [Raw(server.port).send(request(server, "events")) for _ in range(3)]
        for raw in listening:
            assert raw.answer()[0] == 200
        assert answered(server, request(server, "events"), 503)["retry-after"] == "5"
        assert until(lambda: server.connections == 3)
        idle = [Raw(server.port) for _ in range(3)]
        assert until(lambda: server.connections == 6)
        assert answered(server, request(server), 503)["retry-after"] == "1"
        flood = [Raw(server.port) for _ in range(40)]  # the most of them are cut off at once
        assert until(lambda: server.connections <= 6 + 3)
        for raw in (*listening, *idle, *flood):
            raw.close()
        assert until(lambda: server.connections == 0)
        with Raw(server.port) as raw:
            assert raw.send(request(server)).answer()[2] == PAGE


def test_only_this_machine_is_listened_to(server: PageServer) -> None:
    for address in {about[4][0] for about in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1"}:
        with pytest.raises(OSError):  # noqa: PT011  # refused, or no way there
            socket.create_connection((address, server.port), 2.0).close()
    with pytest.raises(OSError):  # noqa: PT011
        socket.create_connection(("::1", server.port), 2.0).close()


def test_a_port_that_cannot_be_had(server: PageServer) -> None:
    with pytest.raises(InputFault, match="cannot be had"):
        PageServer(PAGE, POLICY, port=server.port)
    with pytest.raises(InputFault, match="cannot be had"):
        PageServer(PAGE, POLICY, port=70_000)


def test_a_library_as_client(server: PageServer) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=5)
    connection.request("GET", f"/{server.address.split('/')[3]}/scene", headers={"Host": "desk.example"})
    assert connection.getresponse().status == 421
    connection.close()
    connection.request("POST", f"/{server.address.split('/')[3]}/scene", body=b"x")
    assert connection.getresponse().status == 405
    connection.close()
