"""What can be told of the place of a set before anything is made."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from deskmodel.errors import InputFault
from deskmodel.session.publish import check_place


def test_places_that_cannot_be_written_are_told_beforehand(tmp_path: Path) -> None:
    check_place(tmp_path / "not there yet" / "shelf", "shelf")
    (tmp_path / "a file").write_text("")
    for place, said in ((tmp_path / "a file/shelf", "is not a folder"), (tmp_path / "a file", "is not a folder of its own")):
        with pytest.raises(InputFault, match=said) as told:
            check_place(place, "shelf")
        assert told.value.file == str(tmp_path / "a file")
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine/letter.txt").write_text("dear")
    with pytest.raises(InputFault):
        check_place(tmp_path / "mine", "shelf")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "access", lambda *asked: False)
        with pytest.raises(InputFault, match="may not be written"):
            check_place(tmp_path / "new", "shelf")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a file", "mine"]
