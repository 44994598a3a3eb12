"""Laws of the frozen model: written and read back it is the same; order changes nothing, every number something."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import tokenize
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest

from deskmodel import Desk, Member
from deskmodel.errors import InputFault
from deskmodel.features import Hole
from deskmodel.model import DeskModel, encode, freeze, read_json, revision, write_json
from tests.desks.small import HOSTILE_NAMES, small_desk
from tests.planted.harness import PARTS, edited_desk


@pytest.fixture(scope="module")
def first() -> DeskModel:
    return edited_desk(PARTS)[0]


@pytest.fixture(scope="module")
def small() -> DeskModel:
    return freeze(small_desk())[0]


def test_read_back_equals_what_was_written(first: DeskModel, small: DeskModel) -> None:
    for model in (first, small):
        text = write_json(model)
        assert read_json(text) == model
        assert write_json(read_json(text)) == text
        assert revision(read_json(text)) == revision(model)


@pytest.mark.parametrize("name", HOSTILE_NAMES)
def test_hostile_names_come_back(name: str) -> None:
    renamed = freeze(small_desk(lambda key: name[:250] + key if len(name) > 200 else f"{name}{key}{name}"))[0]
    back = read_json(write_json(renamed))
    assert back == renamed
    assert sum(name[:200] in part.name for part in back.parts) > 10


@pytest.mark.parametrize(("whole", "sequence"), [(int, tuple), (int, list), (float, list), (np.float64, list),
                                                 (np.int64, tuple)])
def test_however_a_script_writes_its_numbers(whole: type, sequence: type, small: DeskModel) -> None:
    other = freeze(small_desk(whole=whole, sequence=sequence))[0]
    assert other == small
    assert hash(other) == hash(small)  # no list is left in it
    assert write_json(other) == write_json(small)


@pytest.mark.parametrize("seed", range(8))
def test_order_of_statements_changes_nothing(seed: int, small: DeskModel) -> None:
    model, lines = freeze(small_desk(rng=Random(seed)))
    assert write_json(model) == write_json(small)
    assert set(lines) >= {part.name for part in model.parts}


def test_freezing_twice_is_freezing_once(small: DeskModel) -> None:
    d = small_desk()
    assert freeze(d)[0] == freeze(d)[0] == small


def test_every_number_of_the_first_desk_counts(tmp_path: Path, first: DeskModel) -> None:
    """Each number in the script, one larger: another revision, or the script is at fault. No number is idle."""
    text = (PARTS / "desk.py").read_text(encoding="utf-8")
    lines = text.splitlines(keepends=True)
    (tmp_path / "equipment").symlink_to(PARTS / "equipment")
    known = revision(first)
    numbers = [t for t in tokenize.generate_tokens(io.StringIO(text).readline) if t.type == tokenize.NUMBER]
    assert len(numbers) > 80
    refused, idle = 0, []
    for token in numbers:
        row, column = token.start
        line = lines[row - 1]
        changed = [*lines]
        changed[row - 1] = line[:column] + repr(eval(token.string) + 1) + line[token.end[1]:]
        (tmp_path / "desk.py").write_text("".join(changed), encoding="utf-8")
        try:
            other = revision(edited_desk(tmp_path)[0])
        except InputFault:
            refused += 1
        else:
            if other == known:
                idle.append(f"{token.string}: {line.strip()}")
    # a bore may be given anywhere along its own axis: y of the aerial bore, which runs along y
    assert idle == ['270: d.bore(left_rail, through="y", at=(60, 270, 35), diameter=20, name="aerial bore")']
    assert refused < len(numbers) / 3


def leaves(value: object, path: tuple = ()) -> list[tuple]:
    if isinstance(value, dict):
        return [leaf for key, v in value.items() for leaf in leaves(v, (*path, key))] + [path]
    if isinstance(value, list):
        return [leaf for i, v in enumerate(value) for leaf in leaves(v, (*path, i))] + [path]
    return [path]


JSON = [None, True, 0, -1, 1.5, 1e300, "x", "", [], {}, [1, 2], [[1]], {"is": "Pose"}, {"is": []}, {"is": "Member"},
        {"x": 1}, {"is": "Profile", "vertices": [[0, 0, 0]]}, {"is": "DeskModel"}, 10**400]


def at(body: object, path: tuple) -> object:
    for step in path:
        body = body[step]
    return body


@pytest.mark.parametrize("seed", range(3))
def test_a_mutated_model_is_refused_or_whole(seed: int, small: DeskModel) -> None:
    rng = Random(seed)
    text = write_json(small)
    refused = 0
    for _ in range(60):
        body = json.loads(text)
        path = rng.choice([p for p in leaves(body) if p])
        holder, last = at(body, path[:-1]), path[-1]
        if rng.random() < 0.25:
            del holder[last]
        elif rng.random() < 0.2 and isinstance(holder, dict):
            holder["more"] = rng.choice(JSON)
        else:
            holder[last] = rng.choice(JSON)
        changed = json.dumps(body)
        try:
            model = read_json(changed)
        except InputFault:
            refused += 1
        else:
            assert read_json(write_json(model)) == model
    assert refused > 30


@pytest.mark.parametrize("text", [
    "", "{", "[]", "null", "5", '"x"', "{}", '{"schema": 1}', '{"schema": 2, "is": "DeskModel"}',
    '{"schema": 1, "is": "Pose"}', '{"schema": 1, "is": ["DeskModel"]}', '{"schema": 1, "is": null}', "\ufeff{}",
    '{"schema": 1, "is": "Pose", "rotation": [[1,0,0],[0,1,0],[0,0,1]], "origin": [0,0,NaN]}', "[" * 100_000,
    '{"schema": ' + "9" * 5000 + "}"])
def test_what_is_no_model_is_refused(text: str) -> None:
    with pytest.raises(InputFault) as caught:
        read_json(text)
    assert caught.value.allowed


@pytest.mark.parametrize(("find", "replace_by", "told"), [
    ('"a": "left", "apart"', '"a": "nobody", "apart"', "'nobody', which is no part"),
    ('"owner": "supply"', '"owner": "nobody"', "'nobody', which is no part"),
    ('"minimum": 5', '"minimum": "5"', "minimum of a GapRule"),
    ('"role": "member"', '"role": "captain"', "role of a PlacedPart"),
    ('"length": 600', '"length": -600', "length -600"),
    ('"rotation": [[1, 0, 0], [0, 1, 0], [0, 0, 1]]', '"rotation": [[1, 0, 0], [0, 1, 0], [0, 0, -1]]', "is no rotation"),
    ('"rotation": [[1, 0, 0], [0, 1, 0], [0, 0, 1]]', '"rotation": [[1, 0, 0], [0, 1, 0]]', "rotation of a Pose"),
    ('"name": "front", "section"', '"name": "back", "section"', "two parts of one name"),
    ('"x": [22, 578]', '"x": [578, 22]', "x of bay 'bay'"),
    ('"colour": [', '"colour": ["red", ', "colour of a Material"),
])
def test_a_broken_model_says_what_is_broken(find: str, replace_by: str, told: str, small: DeskModel) -> None:
    text = write_json(small)
    assert find in text
    with pytest.raises(InputFault) as caught:
        read_json(text.replace(find, replace_by, 1))
    assert told in caught.value.problem


def test_the_model_is_written_plainly(small: DeskModel) -> None:
    text = write_json(small)
    assert json.loads(text)["schema"] == 1
    assert len([line for line in text.splitlines() if '"is": "PlacedPart"' in line]) == len(small.parts)  # one line each
    assert [part.name for part in small.parts] == sorted(part.name for part in small.parts)
    with pytest.raises(TypeError):
        encode({1, 2})


def test_it_is_read_by_its_lines_as_it_is_read_whole(first: DeskModel, small: DeskModel) -> None:
    for model in (first, small):
        text = write_json(model)
        body = json.loads(text)
        by_lines = read_json(text)
        assert by_lines == read_json(json.dumps(body)) == model
        body["parts"][3]["pose"]["origin"][0] += 0.5
        moved = read_json(json.dumps(body))
        again = read_json(write_json(moved))
        assert again == moved != by_lines
        assert sum(a is b for a, b in zip(again.parts, by_lines.parts, strict=True)) == len(model.parts) - 1
        odd = text.replace(": 60,", ": 60.0,")  # laid out as ours is, and yet not ours
        assert odd != text
        assert write_json(read_json(odd)) == text
        assert revision(read_json(odd)) == revision(model)


@pytest.mark.parametrize("change", [
    lambda t: t.replace("\n", "\r\n"), lambda t: t.replace("},\n  {", "}\n  {", 1), lambda t: t + "\n", lambda t: t[:-3],
    lambda t: t.replace(' "parts": [\n', ' "parts": [\n\n', 1), lambda t: t.replace(" ]", " }", 1),
    lambda t: t.replace('"name": "', '"name":  "', 1)])
def test_what_is_laid_out_otherwise_is_read_whole(change: Callable[[str], str], small: DeskModel) -> None:
    text = change(write_json(small))
    try:
        body = json.loads(text)
    except ValueError:
        with pytest.raises(InputFault, match="not JSON"):
            read_json(text)
    else:
        assert read_json(text) == read_json(json.dumps(body)) == small


def test_feature_order_does_not_count_but_features_do(small: DeskModel) -> None:
    def cut(*holes: Hole) -> str:
        d = Desk("d")
        rail = d.place(Member("rail", (22, 60), 400, "ash"), at=(0, 0, 0))
        for hole in holes:
            d.cut(rail, hole)
        return revision(freeze(d)[0])

    a, b = Hole("face side", (50, 30), 8), Hole("face side", (90, 30), 8)
    assert cut(a, b) == cut(b, a) != cut(a)
    assert cut(a) != cut(replace(a, purpose="cable"))


def test_importing_it_and_running_a_desk_loads_no_kernel() -> None:
    code = ("import sys, pathlib\nimport deskmodel, deskmodel.model, deskmodel.checks\n"
            f"sys.path.insert(0, {str(PARTS)!r})\nimport desk\n"
            "model = deskmodel.model.freeze(desk.desk())[0]\n"
            "deskmodel.model.read_json(deskmodel.model.write_json(model))\n"
            "print(sorted({m.split('.')[0] for m in sys.modules} & {'numpy', 'cadquery', 'OCP', 'scipy', 'trimesh', 'fcl', "
            "'manifold3d', 'rich', 'vtkmodules', 'ezdxf'}))")
    done = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, text=True, timeout=60,
                          cwd=Path(__file__).parent.parent, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, "[]"), done.stderr
