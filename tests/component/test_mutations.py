"""Mutated data sheets: each is read, or refused by InputFault that names the file; nothing else, and quickly."""

from __future__ import annotations

import re
import time
from pathlib import Path
from random import Random

import pytest

from deskmodel.component import read_sheet
from deskmodel.component._sheet import __doc__ as help_text
from deskmodel.errors import InputFault
from deskmodel.model import encode
from deskmodel.part import removals_of

OWN = Path(__file__).parent / "sheets" / "every-key.toml"
SHELF = Path(__file__).parent.parent.parent / "deskmodel" / "templates" / "shelf" / "equipment"
SHEETS = [OWN, *sorted(SHELF.glob("*.toml"))]
SEED = 20_240
EACH = 75  # mutations of each of the five sheets: 375
VALUES = ["0", "-1", "1e9", "nan", "inf", "true", '""', '"x"', "[]", "[1]", "[1, 2, 3, 4]", "{}", "2020-01-01", "12:30",
          "'''\n'''", "[[1]]", "1_0", "0x10", '"\\u0000"', '"\\uD800"',
          "{a = 1}", "1.", "+z", '["a", "b", "c"]', "[1, 2, nan]", "-0.0", '"?"', '["?", "?"]', '"no-metal"',
          '"atx"', '"sff-8201 bottom"', "90", "false"]


def mutated(text: str, rng: Random) -> str:
    lines = text.split("\n")
    i, j = rng.randrange(len(lines)), rng.randrange(len(lines))
    at = rng.randrange(len(text))
    kind = rng.randrange(10)
    if kind == 0:
        return text[:at] + text[at + 1:]
    if kind == 1:
        return text[:at] + rng.choice("[]{}\"'=,.#\n\\\0\tx9-é\U0001f600") + text[at:]
    if kind == 2:
        return text[:at] + chr(rng.choice([*range(32, 127), 0x7f, 0xa0, 0x2028, 0xfeff, 0x10ffff])) + text[at + 1:]
    if kind == 3:
        return text[:at]  # cut off
    if kind == 4:
        return "\n".join(lines[:i] + lines[i + 1:])
    if kind == 5:
        return "\n".join([*lines[:i], lines[j], *lines[i:]])
    if kind == 6:
        lines[i], lines[j] = lines[j], lines[i]
        return "\n".join(lines)
    if kind == 7:
        return "\n".join([*lines[:i], re.sub(r"=.*", lambda _: f"= {rng.choice(VALUES)}", lines[i]), *lines[i + 1:]])
    if kind == 8:
        numbers = list(re.finditer(r"-?\d+(\.\d+)?", text))
        m = rng.choice(numbers)
        return text[:m.start()] + rng.choice(["0", "-5", "99999", "1e-9", "1e400", "9" * 400, "0.001"]) + text[m.end():]
    words = list(re.finditer(r"[a-z_]{2,}", text))
    m, other = rng.choice(words), rng.choice(words)
    return text[:m.start()] + other[0] + text[m.end():]


def test_the_own_sheet_has_every_key() -> None:
    told = set(re.findall(r"^ {4}\[?\[?(\w+)\b", help_text or "", re.M))
    has = set(re.findall(r"^\[?\[?(\w+)\b", OWN.read_text(encoding="utf-8"), re.M))
    assert {"pattern", "turn", "depth", "mains"} <= told <= has, "the help text explains every key, the sheet has it"


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda p: p.stem)
def test_mutations(sheet: Path, tmp_path: Path) -> None:
    assert len(SHEETS) >= 5
    text = sheet.read_text(encoding="utf-8")
    rng = Random(f"{SEED} {sheet.stem}")
    read = refused = 0
    for number in range(EACH):
        changed = mutated(text, rng)
        path = tmp_path / f"{number}.toml"
        path.write_text(changed, encoding="utf-8")
        began = time.perf_counter()
        try:
            component = read_sheet(path)
        except InputFault as fault:
            told = str(fault)
            refused += 1
            if not told.startswith(str(path)) or fault.allowed is None:
                raise
        else:
            removals_of(component)
            encode(component)
            component.all_keep_outs()
            read += 1
        assert time.perf_counter() - began < 1.0, f"seed {SEED}, number {number}"
    assert read > 5, "mutations so coarse that nothing is read test little"
    assert refused > 20


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda p: p.stem)
def test_cut_off_at_every_place(sheet: Path, tmp_path: Path) -> None:
    data = sheet.read_bytes()
    path = tmp_path / "cut.toml"
    for length in range(len(data)):
        path.write_bytes(data[:length])
        try:
            read_sheet(path)
        except InputFault as fault:
            if fault.file != str(path):
                raise
