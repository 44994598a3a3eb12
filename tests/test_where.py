"""Which line of a script made a thing."""

from __future__ import annotations

import deskmodel
from deskmodel._where import caller


def test_a_folder_whose_name_begins_like_the_package_is_the_script_s() -> None:
    package = deskmodel.__file__.rpartition("/")[0]
    names = {"caller": caller}
    exec(compile("def make():\n    return caller()\n", f"{package}ing/desk.py", "exec"), names)
    assert names["make"]().file == f"{package}ing/desk.py"
    assert names["make"]().line == 2
