"""What goes back to the client: the head of an answer, with the fields that every answer carries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from email.utils import formatdate
from http import HTTPStatus

from deskmodel.serve.request import Refused

__all__ = ["EVENTS", "FOR_GOOD", "NOT_KEPT", "Answer", "head_of", "refusal"]

_ALWAYS = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),  # the address holds the token
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
    ("X-Frame-Options", "DENY"),  # for browsers that do not know frame-ancestors
)
_NOTHING = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"
"""The policy of what is no page: whoever opens it as one gets nothing to run."""

NOT_KEPT = "no-store"
FOR_GOOD = "private, max-age=31536000, immutable"
EVENTS = "text/event-stream; charset=utf-8"


@dataclass(frozen=True, slots=True)
class Answer:
    """``policy``: of the content; ``body`` None: it comes piece by piece until the connection ends."""

    status: int
    kind: str
    body: bytes | None
    kept: str = NOT_KEPT
    policy: str = _NOTHING
    fields: Mapping[str, str] = field(default_factory=dict)


def refusal(refused: Refused) -> Answer:
    return Answer(refused.status, "text/plain; charset=utf-8", f"{refused.text}\n".encode(), fields=refused.fields)


def head_of(answer: Answer, *, keep: bool) -> bytes:
    """Up to and with the empty line."""
    lines = [f"HTTP/1.1 {answer.status} {HTTPStatus(answer.status).phrase}",
             f"Date: {formatdate(usegmt=True)}",
             f"Content-Type: {answer.kind}",
             f"Cache-Control: {answer.kept}",
             f"Content-Security-Policy: {answer.policy}"]
    lines += [f"{name}: {value}" for name, value in (*_ALWAYS, *answer.fields.items())]
    if answer.body is not None:
        lines.append(f"Content-Length: {len(answer.body)}")
    lines.append(f"Connection: {'keep-alive' if keep else 'close'}")
    return ("\r\n".join(lines) + "\r\n\r\n").encode("latin-1")
