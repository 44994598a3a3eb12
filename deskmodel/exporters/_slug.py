"""File names from names that people give: nothing of a name can reach outside its folder or be a command.

Only a-z, 0-9 and hyphens pass. Two names that come out alike, and names that come out empty or cut, get the start
of the name's own hash, so that a name's file does not depend on which other parts come before it.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections import Counter
from collections.abc import Iterable

__all__ = ["slug", "slugs"]

LONGEST = 60
"""Characters; far below what any file system allows, with room for endings and numbers."""

_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
_SPELLED = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "æ": "ae", "ø": "oe", "œ": "oe", "å": "aa",
                          "ł": "l", "đ": "d", "ð": "d", "þ": "th", "×": "x"})


def slug(name: str) -> str:
    """One name alone: "Left end (oak)" is "left-end-oak"."""
    text = _plain(name)
    if not text or len(text) > LONGEST or text in _RESERVED:
        return _marked(text, name)
    return text


def slugs(names: Iterable[str]) -> dict[str, str]:
    """A file name for each different name, no two alike."""
    different = list(dict.fromkeys(names))
    count = Counter(slug(name) for name in different)
    return {name: slug(name) if count[slug(name)] == 1 else _marked(_plain(name), name) for name in different}


def _plain(name: str) -> str:
    spelled = unicodedata.normalize("NFC", name).lower().translate(_SPELLED)
    ascii_only = unicodedata.normalize("NFKD", spelled).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", ascii_only).strip("-")


def _marked(text: str, name: str) -> str:
    digest = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{text[:LONGEST - 9].strip('-') or 'part'}-{digest}"
