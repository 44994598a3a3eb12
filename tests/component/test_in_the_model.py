"""What a sheet says arrives in model.json, comes back, and shapes the revision."""

from __future__ import annotations

from pathlib import Path

import pytest

from deskmodel import Desk, InputFault, read_sheet
from deskmodel.model import DeskModel, freeze, read_json, revision, write_json

SHEET = Path(__file__).parent / "sheets" / "every-key.toml"


def model_of(text: str, folder: Path) -> DeskModel:
    path = folder / "computer.toml"
    path.write_text(text, encoding="utf-8")
    d = Desk("one box")
    d.place(read_sheet(path), at=(0, 0, 0))
    return freeze(d)[0]


def test_there_and_back(tmp_path: Path) -> None:
    model = model_of(SHEET.read_text(encoding="utf-8"), tmp_path)
    again = read_json(write_json(model))
    assert again == model
    part = again.part("desk computer").part
    assert {port.name: port.mains for port in part.ports} == {"mains in": True, "lead of the fan": False}
    assert {k.name: k.keep_out.kind for k in again.keep_outs}["desk computer: aerial"] == "no-metal"
    assert len(part.features) == 13


@pytest.mark.parametrize(("find", "replace"), [
    ("mains = true", "mains = false"), ('reason = "no-metal"', 'reason = "air"'), ("turn = 180", "turn = 180\n"),
    ("depth = 5.5", "depth = 5"), ('"fan 80"', '"fan 60"')])
def test_what_shapes_the_revision(find: str, replace: str, tmp_path: Path) -> None:
    text = SHEET.read_text(encoding="utf-8")
    assert text.count(find) == 1
    one, other = model_of(text, tmp_path), model_of(text.replace(find, replace), tmp_path)
    assert (revision(one) == revision(other)) is (replace == find + "\n")


@pytest.mark.parametrize(("find", "replace"), [('"mains": true', '"mains": 1'), ('"mains": true', '"mains": null'),
                                               ('"mains": true, ', ""), ('"kind": "no-metal"', '"kind": "no-wood"')])
def test_a_damaged_model_is_refused(find: str, replace: str, tmp_path: Path) -> None:
    text = write_json(model_of(SHEET.read_text(encoding="utf-8"), tmp_path))
    assert find in text
    with pytest.raises(InputFault):
        read_json(text.replace(find, replace))
