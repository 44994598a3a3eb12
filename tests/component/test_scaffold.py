"""The scaffold of a data sheet: refused reading by reading until the last is filled in, then read as it was measured."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from deskmodel.component import read_sheet
from deskmodel.component._scaffold import HoleReading, Readings, hole_from_edges, missing, scaffold
from deskmodel.errors import InputFault
from tests.desks.small import HOSTILE_NAMES

# what a maker writes for each missing reading, by table and key
FILLED = {"name": '"network switch"', "source": '"measured"', "mass": "0.4", "heat": "6", "box": "[160, 100, 28]",
          "port.name": '"12 V"', "port.at": "[160, 80, 12]", "port.towards": '"+x"', "port.plug": "[11, 11, 40]",
          "port.mains": "false"}


def filled(text: str, line: int, key: str) -> str:
    """The text with the readings of one line put in."""
    lines = text.split("\n")
    assert lines[line - 1].startswith(f"{key.split('.')[-1]} = ")
    name = "port." + key.rsplit(".", 1)[1] if key.startswith("port.") else key.split(".")[-1]
    lines[line - 1] = re.sub(r'= ("\?"|\[("\?", )*"\?"\])', lambda _: f"= {FILLED[name]}", lines[line - 1])
    return "\n".join(lines)


def test_every_missing_reading_is_refused_at_its_line(tmp_path: Path) -> None:
    text = scaffold(Readings())
    path = tmp_path / "switch.toml"
    expected = missing(text)
    assert len(expected) == len(FILLED)
    met = []
    for _ in expected:
        path.write_text(text, encoding="utf-8")
        with pytest.raises(InputFault) as caught:
            read_sheet(path)
        fault = caught.value
        assert fault.file == str(path)
        assert "not filled in yet" in fault.problem
        met.append((fault.line, fault.key.split(".")[-1]))
        text = filled(text, fault.line, fault.key)
    assert sorted(met) == expected
    path.write_text(text, encoding="utf-8")
    component = read_sheet(path)
    assert missing(text) == []
    assert component.blank.bounds == ((0, 0, 0), (160, 100, 28))
    assert (component.name, component.source, component.mass, component.heat) == ("network switch", "measured", 0.4, 6)
    (port,) = component.ports
    assert (port.name, port.at, port.towards, port.plug, port.mains) == ("12 V", (160, 80, 12), "+x", (11, 11, 40), False)


def test_what_is_known_is_put_in(tmp_path: Path) -> None:
    readings = Readings("network switch", "measured", 0.4, 6, (160, 100, 28.5),
                        (HoleReading((6, 12), 3.4), HoleReading((150.25, 90), 3.4)))
    text = scaffold(readings)
    assert [key for _, key in missing(text)] == ["name", "at", "towards", "plug", "mains"]  # those of the port
    without_port = text[:text.index("[[port]]")] + text[text.index("# [[body]]"):]
    path = tmp_path / "switch.toml"
    path.write_text(without_port, encoding="utf-8")
    component = read_sheet(path)
    assert component.blank.bounds == ((0, 0, 0), (160, 100, 28.5))
    assert (component.name, component.source, component.mass, component.heat) == ("network switch", "measured", 0.4, 6)
    assert [(hole.at, hole.diameter) for hole in component.features] == [((6, 12), 3.4), ((150.25, 90), 3.4)]


def test_the_blocks_in_comments_can_be_used(tmp_path: Path) -> None:
    text = scaffold(Readings("box", "measured", 0.4, 6, (160, 100, 28)))
    text = text[:text.index("[[port]]")] + text[text.index("# [[body]]"):]
    values = {"cylinder": "[20, 6]", "at": "[80, 50]", "diameter": "3", "depth": "5", "form": '"fan 40"', "clear": "10",
              "size": "[40, 0, 20]", "box": "[20, 20, 10]", "name": '"aerial"', "reason": '"no-metal"'}
    lines, table = [], ""
    for line in text.split("\n"):
        plain = re.sub(r"^# (?=\[|[a-z_]+ = )", "", line)
        if plain.startswith("["):
            table = re.sub(r"[\[\]]| .*", "", plain)
        if plain != line:
            key = plain.partition(" ")[0]
            value = values.get(key)
            if key == "at" and table in ("body", "vent", "keep_out"):
                value = {"body": "[80, 50, 28]", "vent": "[60, 100, 4]", "keep_out": "[70, 40, 34]"}[table]
            if key == "towards":
                value = '"+z"' if table == "body" else '"+y"'
            plain = re.sub(r'= ("\?"|\[("\?", )*"\?"\])', lambda _, v=value: f"= {v}", plain)
        lines.append(plain)
    path = tmp_path / "box.toml"
    path.write_text("\n".join(lines), encoding="utf-8")
    component = read_sheet(path)
    assert len(component.bodies) == 2
    assert len(component.features) == 1 + 4
    assert {k.kind for k in component.keep_outs} == {"air", "no-metal"}


def test_holes_from_their_edges() -> None:
    # the middle of two edges, and the distance between them
    assert hole_from_edges((4.3, 7.7), (10.3, 13.7)) == HoleReading((6.0, 12.0), 3.4)
    assert hole_from_edges((4.3, 7.7), (10.2, 13.8)) == HoleReading((6.0, 12.0), 3.5)  # read twice, 3.4 and 3.6
    for left, front in (((4, 8), (10, 14.4)), ((8, 4), (10, 14)), ((4, 8), (10, 10)), ((0, 200), (0, 200)),
                        ((1, 1.1), (1, 1.1))):
        with pytest.raises(InputFault) as caught:
            hole_from_edges(left, front)
        assert caught.value.allowed


@pytest.mark.parametrize("bad", [
    {"mass": -1}, {"mass": 201}, {"heat": 1e9}, {"size": (160, 0, 28)}, {"size": (160, 1e5, 28)}, {"name": " "},
    {"name": "?"}, {"source": "?"}, {"name": "\udc80"}, {"size": (160, 100, 28), "holes": (HoleReading((161, 50), 3),)},
    {"size": (160, 100, 28), "holes": (HoleReading((1, 50), 3),)},
    {"size": (160, 100, 28), "holes": (HoleReading((50, 99), 3),)}],
    ids=str)
def test_readings_that_cannot_be(bad: dict[str, object]) -> None:
    with pytest.raises(InputFault) as caught:
        Readings(**bad)
    assert caught.value.allowed


@pytest.mark.parametrize("name", [*HOSTILE_NAMES, "\x7f\x01 \u2028", 'a"]\n[[body]]', "\\"], ids=ascii)
def test_names_are_data(name: str) -> None:
    said = tomllib.loads(scaffold(Readings(name=name, source=name)))
    assert (said["name"], said["source"]) == (name, name)
    assert set(said) == {"name", "source", "mass", "heat", "body", "port"}
