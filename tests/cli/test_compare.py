"""``deskmodel compare`` from outside: exit status, what is printed, what is written."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.commands import CLEAN, ROOT, STRIKING, deskmodel


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory, cache: Path) -> Path:
    """A folder with the script and an export folder of it."""
    folder = tmp_path_factory.mktemp("made")
    (folder / "desk.py").write_text(CLEAN)
    ran = deskmodel("make", cwd=folder, cache=cache)
    assert ran.returncode == 0, ran.stdout + ran.stderr
    return folder


def test_equal_desks(made: Path) -> None:
    for old, new in (("desk.py", "desk.py"), ("exports/small-frame", "desk.py"),
                     ("exports/small-frame/model.json", "exports/small-frame")):
        ran = deskmodel("compare", old, new, cwd=made)
        assert ran.returncode == 0, ran.stdout + ran.stderr
        assert ran.stdout.splitlines()[2].strip() == "equal"
    assert "findings  not compared: new: its script was not checked; --check does" in deskmodel(
        "compare", "exports/small-frame", cwd=made).stdout


def test_what_was_cut_for_a_desk_that_gets_narrower(made: Path) -> None:
    ran = deskmodel("compare", "exports/small-frame", "--new-set", "width=297", "--json", "told.json", cwd=made)
    assert ran.returncode == 1, ran.stderr
    # the right end's dowel holes in front and back follow it by 3: both have to be bored anew, and the old holes stay
    assert "[WRONG] back" in ran.stdout
    assert "parameter width: value 300 → 297" in ran.stdout
    assert re.search(r"x -3: right end", ran.stdout)
    record = json.loads((made / "told.json").read_text())
    assert not record["equal"]
    assert record["new"]["parameters"]["width"] == 297
    changed = {part["name"]: part for part in record["parts"]["changed"]}
    assert set(changed) == {"front", "back", "right end"}
    assert changed["right end"]["moved"] == {"shift": [-3.0, 0.0, 0.0], "turned": False}
    assert changed["right end"]["made"] is None
    front = changed["front"]
    assert front["properties"] == [{"what": "length", "old": 300, "new": 297}]
    assert [(cut["what"], cut["shift"]) for cut in front["cuts"]] == [("moved", {"datum end": -3.0})] * 2
    assert front["made"]["outcome"] == "wrong"
    assert front["made"]["good_before"] == "drill"
    # both ends stand 278 apart in the old desk, 275 in the new one: however it is laid two holes are in the wrong place
    assert len(front["made"]["blockers"]) == 2


def test_a_piece_that_is_saved_by_another_crosscut(made: Path) -> None:
    text = CLEAN.replace('length=width, material="ash"), at=(0, 0, 0))', 'length=width + 5, material="ash"), at=(0, 0, 0))')
    (made / "longer.py").write_text(text)
    ran = deskmodel("compare", "longer.py", "desk.py", cwd=made)
    assert ran.returncode == 1
    assert "1 piece is wrong now, 1 of them can be saved by another cut" in ran.stdout
    assert "[CUT AGAIN] front" in ran.stdout
    assert "crosscut 5 off the far end" in ran.stdout
    ran = deskmodel("compare", "desk.py", "longer.py", cwd=made)
    assert "[WRONG] front" in ran.stdout
    assert "too short by 5 mm" in ran.stdout


def test_cost_by_the_stock_list_beside_the_script(made: Path, tmp_path: Path) -> None:
    """From bars of 1300 at 10 each: 2 × 300 and 2 × 156 are 912 and go into one; 2 × 700 and 2 × 156 are 1712, two."""
    (tmp_path / "desk.py").write_text(CLEAN)
    (tmp_path / "stock.toml").write_text('source = "invented"\ncurrency = "EUR"\n[[bar]]\nmaterial = "ash"\n'
                                         'section = [65, 25]\nlength = 1300\nprice = 10.0\n')
    ran = deskmodel("compare", "desk.py", "--new-set", "width=700", "--json", "told.json", cwd=tmp_path)
    assert ran.returncode == 1, ran.stderr
    cost = json.loads((tmp_path / "told.json").read_text())["cost"]
    # without a price: dowels and the glue of their joints
    assert cost["old"] == {"known": 10.0, "currency": "EUR", "lines_with_price": 1, "lines_without_price": 2}
    assert cost["new"] == {"known": 20.0, "currency": "EUR", "lines_with_price": 1, "lines_without_price": 2}
    assert "(+10.00 EUR of what has a price)" in " ".join(ran.stdout.split())
    told = " ".join(deskmodel("compare", "exports/small-frame", "desk.py", cwd=made).stdout.split())
    assert "cost not compared: old: none of the 3 lines of its shopping list has a price; new: no stock list beside" in told
    ran = deskmodel("compare", "exports/small-frame/model.json", str(tmp_path / "desk.py"), cwd=made)
    told = " ".join(ran.stdout.split())
    assert "new: 10.00 EUR for 1 line with a price, 2 without" in told
    lone = tmp_path / "lone"
    lone.mkdir()
    (lone / "model.json").write_bytes((made / "exports" / "small-frame" / "model.json").read_bytes())
    told = " ".join(deskmodel("compare", "lone", "desk.py", cwd=tmp_path).stdout.split())
    assert "cost not compared: old: a model holds no prices, and there is no documents/shopping-list.csv beside it" in told
    (lone / "documents").mkdir()
    (lone / "documents" / "shopping-list.csv").write_text("not,a,list\n")
    ran = deskmodel("compare", "lone", "desk.py", cwd=tmp_path)
    refused(ran, "not a shopping list", "shopping-list.csv")


def test_findings_are_compared_when_checked(made: Path, cache: Path) -> None:
    (made / "striking.py").write_text(STRIKING)
    ran = deskmodel("compare", "exports/small-frame", "striking.py", "--check", "--json", "-", cwd=made,
                    cache=cache)
    assert ran.returncode == 1, ran.stderr
    record = json.loads(ran.stdout)
    assert record["findings"]["compared"]
    assert ["front", "strip"] in [sorted(each["parts"]) for each in record["findings"]["new"]
                                  if each["id"] == "parts-overlap"]
    assert record["parts"]["added"] == [{"name": "strip", "role": "member"}]
    back = json.loads(deskmodel("compare", "striking.py", "exports/small-frame", "--check", "--json", "-", cwd=made,
                                cache=cache).stdout)
    assert back["findings"]["gone"] == record["findings"]["new"]
    same = json.loads(deskmodel("compare", "striking.py", "striking.py", "--check", "--json", "-", cwd=made,
                                cache=cache).stdout)
    assert same["equal"]
    assert len(same["findings"]["there"]) == len(record["findings"]["new"]) + len(record["findings"]["there"])


def test_the_findings_of_another_revision_are_not_used(made: Path, tmp_path: Path) -> None:
    for name in ("model.json", "findings.json"):
        (tmp_path / name).write_bytes((made / "exports" / "small-frame" / name).read_bytes())
    text = (tmp_path / "model.json").read_text()
    (tmp_path / "model.json").write_text(text.replace('"length": 300', '"length": 301'))
    ran = deskmodel("compare", str(tmp_path), "exports/small-frame", cwd=made)
    assert ran.returncode == 1
    assert "its findings.json speaks of another revision" in " ".join(ran.stdout.split())


@pytest.mark.parametrize(("name", "text", "said"), [
    ("model.json", "", "not JSON"), ("model.json", "{", "not JSON"), ("model.json", "[1, 2]", "not a model.json"),
    ("model.json", '{"schema": 1}', "model.json"), ("model.json", '{"schema": 99, "is": "DeskModel"}', "not a model.json"),
    ("package.json", '{"name": "other", "version": "1.0"}', "not a model.json"), ("model.json", "\x00" * 50, "not JSON"),
    ("model.json", "[" * 100_000, "not JSON")])
def test_what_is_no_model_is_said_once(made: Path, tmp_path: Path, name: str, text: str, said: str) -> None:
    (tmp_path / name).write_text(text)
    refused(deskmodel("compare", "desk.py", str(tmp_path / name), cwd=made), said, name)


def test_a_model_that_was_cut_off(made: Path, tmp_path: Path) -> None:
    whole = (made / "exports" / "small-frame" / "model.json").read_text()
    for share in (0.01, 0.3, 0.7, 0.99):
        (tmp_path / "model.json").write_text(whole[:int(len(whole) * share)])
        refused(deskmodel("compare", str(tmp_path), "desk.py", cwd=made), "not JSON", "model.json")
    (tmp_path / "model.json").write_bytes(whole.encode()[:100] + b"\xff\xfe")
    refused(deskmodel("compare", str(tmp_path), "desk.py", cwd=made), "UTF-8", "model.json")


@pytest.mark.parametrize(("arguments", "said"), [
    (("none.py", "desk.py"), "there is no such file"), (("exports", "desk.py"), "is a folder without a model.json"),
    (("exports/none/model.json", "desk.py"), "there is no such file"),
    (("exports/small-frame", "desk.py", "--old-set", "width=3"), "which is no script"),
    (("desk.py", "--new-set", "widht=3"), "widht"), (("desk.py", "--new-set", "width"), "--new-set"),
    (("desk.py", "--old-set", "width=3", "--old-set", "width=4"), "is set twice")])
def test_what_cannot_be_compared(made: Path, arguments: tuple[str, ...], said: str) -> None:
    refused(deskmodel("compare", *arguments, cwd=made), said, "")


def refused(ran: object, said: str, where: str) -> None:
    assert ran.returncode == 2, ran.stdout + ran.stderr  # type: ignore[attr-defined]
    assert ran.stdout == ""  # type: ignore[attr-defined]
    text = " ".join(ran.stderr.split())  # type: ignore[attr-defined]
    assert text.startswith("the input is at fault")
    assert said in text
    assert where in "".join(text.split())  # a long path is broken
    assert "Traceback" not in text


def test_hostile_names_do_no_harm(tmp_path: Path) -> None:
    hostile = "<script>alert(1)</script>\\x1b[31m=cmd|'/c'!A0 ../../x\\n\\u202e"
    text = CLEAN.replace('Member("front"', f'Member("{hostile}"')
    text = text.replace('name: str = "small frame"', f'name: str = "{hostile}"')
    (tmp_path / "old.py").write_text(CLEAN)
    (tmp_path / "new.py").write_text(text.replace("length=width, material", "length=width - 1, material"))
    before = sorted(p.name for p in tmp_path.iterdir())
    ran = deskmodel("compare", "old.py", "new.py", cwd=tmp_path)
    assert ran.returncode == 1, ran.stderr
    assert "\x1b" not in ran.stdout
    assert "\u202e" not in ran.stdout
    assert "\\x1b[31m" in ran.stdout
    record = json.loads(deskmodel("compare", "old.py", "new.py", "--json", "-", cwd=tmp_path).stdout)
    assert hostile.encode().decode("unicode_escape") in {part["name"] for part in record["parts"]["added"]}
    assert sorted(p.name for p in tmp_path.iterdir() if p.name != "__pycache__") == before


def test_the_same_comparison_gives_the_same_bytes(made: Path) -> None:
    ran = [deskmodel("compare", "desk.py", "--new-set", "width=310", "--json", "-", cwd=made, seed=seed).stdout
           for seed in ("1", "2")]
    assert ran[0] == ran[1]
    assert json.loads(ran[0])["schema"] == 1


def test_custom_shapes_that_were_not_made_are_said_not_to_be_compared(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text('''
from deskmodel import Desk, custom
def desk(size: float = 20.0) -> Desk:
    d = Desk("blocks")
    d.place(custom("block", "shapes.py", "block", material="PETG", size=size), at=(0, 0, 0))
    return d
''')
    shape = "import cadquery as cq\ndef block(size):\n    return cq.Workplane().box(size, size, 10)\n"
    (tmp_path / "shapes.py").write_text(shape)
    ran = deskmodel("compare", "desk.py", "--new-set", "size=21", cwd=tmp_path)
    assert ran.returncode == 1, ran.stderr
    assert "not compared: the shape of block" in " ".join(ran.stdout.split())
    assert deskmodel("make", "--unreleased", cwd=tmp_path).returncode in (0, 1)
    (tmp_path / "shapes.py").write_text(shape.replace("10", "11"))
    record = json.loads(deskmodel("compare", "exports/blocks", "--check", "--json", "-", cwd=tmp_path).stdout)
    assert [each["what"] for each in record["parts"]["changed"][0]["properties"]] == ["shape"]
    assert record["parts"]["changed"][0]["made"]["outcome"] == "print again"


def test_help_tells_the_exit_status() -> None:
    ran = deskmodel("compare", "--help", cwd=ROOT)
    assert ran.returncode == 0
    assert "0  the two desks are equal\n  1  they differ\n  2  the input is at fault" in ran.stdout
