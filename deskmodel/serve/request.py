"""One request head, read strictly: what is not plainly right is refused, nothing is repaired or guessed.

Grammar: RFC 9112 (HTTP/1.1) sections 3 and 5; statuses: RFC 9110 section 15, RFC 6585 for 431.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from deskmodel.serve.limits import Limits

__all__ = ["Refused", "Request", "check_sender", "head_too_large", "read_head"]

_LINE = re.compile(rb"([!#$%&'*+.^_`|~0-9A-Za-z-]+) ([\x21-\x7e]+) HTTP/([0-9])\.([0-9])")
_FIELD = re.compile(rb"([!#$%&'*+.^_`|~0-9A-Za-z-]+):[ \t]*([\x20-\x7e\x80-\xff\t]*?)[ \t]*")
_ONCE = frozenset({"host", "origin", "content-length", "transfer-encoding", "sec-fetch-site", "connection"})
_NAMES = ("127.0.0.1", "localhost")


class Refused(Exception):  # an answer, not a failure
    """The answer to a request that is not served; the connection is closed after it."""

    def __init__(self, status: int, text: str, fields: Mapping[str, str] = MappingProxyType({})) -> None:
        super().__init__(text)
        self.status = status
        self.text = text
        self.fields = fields


@dataclass(frozen=True, slots=True)
class Request:
    """``fields`` by their name in small letters; ``keep``: the client may send another request on this connection."""

    method: str
    target: str
    fields: Mapping[str, str]
    keep: bool


def head_too_large(data: bytes, limits: Limits) -> Refused | None:
    """Why what has come so far can be no head, whatever follows. Or None."""
    line = data.find(b"\r\n")
    if (len(data) if line < 0 else line) > limits.request_line:
        return Refused(414, f"The request line is longer than {limits.request_line} bytes.")
    if len(data) > limits.head:
        return Refused(431, f"The head of the request is longer than {limits.head} bytes.")
    return None


def read_head(head: bytes, limits: Limits) -> Request:
    """``head`` without the empty line that ends it. Raises Refused."""
    first, *lines = head.split(b"\r\n")
    line = _LINE.fullmatch(first)
    if line is None:
        raise Refused(400, "The request line is not one of HTTP.")
    method, target, major, minor = (part.decode("ascii") for part in line.groups())
    if major != "1" or minor not in "01":
        raise Refused(505, "Only HTTP/1.0 and HTTP/1.1 are spoken here.")
    if len(lines) > limits.fields:
        raise Refused(431, f"The request has more than {limits.fields} fields.")
    fields: dict[str, str] = {}
    for each in lines:
        field = _FIELD.fullmatch(each)
        if field is None:
            raise Refused(400, "A field of the request is not one of HTTP.")
        name, value = field[1].decode("ascii").lower(), field[2].decode("latin-1")
        if name in fields and name in _ONCE:
            raise Refused(400, f"The request has more than one {name}.")
        fields[name] = value
    if method not in ("GET", "HEAD"):
        raise Refused(405, "Nothing can be changed here: only GET and HEAD.", {"Allow": "GET, HEAD"})
    if fields.get("content-length", "0").strip("0") or "transfer-encoding" in fields:
        raise Refused(413, "A request here has no body.")
    if "host" not in fields:
        raise Refused(400, "The request names no host.")
    wishes = {wish.strip().lower() for wish in fields.get("connection", "").split(",")}
    return Request(method, target, fields, minor == "1" and "close" not in wishes)


def check_sender(request: Request, port: int) -> None:
    """Only a browser that was sent here by the address itself, or by the page: a foreign name that leads to this machine, a
    foreign page that asks in the user's name are refused. Raises Refused."""
    hosts = {f"{name}:{port}" for name in _NAMES}
    if port == 80:
        hosts |= set(_NAMES)
    host = request.fields["host"].lower()
    if host not in hosts:
        raise Refused(421, "This host is not served here.")
    origin = request.fields.get("origin")
    if origin is not None and origin.lower() != f"http://{host}":
        raise Refused(403, "Other pages have no access.")
    if request.fields.get("sec-fetch-site", "none") not in ("none", "same-origin"):
        raise Refused(403, "Other pages have no access.")
