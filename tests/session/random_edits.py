"""Random edits of a desk's files: numbers, names, faults, hangs, files taken away, several saves in quick succession."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random

__all__ = ["SMALL", "Files", "small_desk"]

DESK = '''\
from deskmodel import (CutOut, Cover, Desk, DowelJoint, InsertFixing, Member, Plate, Rest, VentField, component, rectangle)
from sizes import BOX, DEPTH, GAP, PITCH, SHIFT, VENT, WIDTH

def desk() -> Desk:
    d = Desk("edited 0")
    front = d.place(Member("front", (22, 60), WIDTH, "ash"), at=(0, 0, 1.5))
    back = d.place(Member("back", (22, 60), WIDTH, "ash"), at=(0, DEPTH - 22, 1.5))
    ends = [d.place(Member(f"{side} end", (22, 60), DEPTH - 44, "ash"), at=(x, 22, 1.5), along="y")
            for side, x in (("left", SHIFT), ("right", WIDTH - 22))]
    for end in ends:
        d.join(DowelJoint(end, front), DowelJoint(end, back))
    under = d.place(Plate("under-plate", rectangle(WIDTH - 2, DEPTH - 2), 1.5, "steel",
                          (VentField((250, 90), 6, 4, 10, VENT), CutOut(rectangle(40, 20, (60, 120)), name="exit"))),
                    at=(1, 1, 0))
    d.join(InsertFixing(under, [front, back, *ends], screw="ISO 10642 M4x12", pitch=PITCH))
    box = d.place(component("box"), at=BOX)
    d.join(Rest(box, under, held="strips"))
    d.require_gap(box, d.members, GAP, reason="air")
    d.keep_clear("hand room", at=(300, 60, 1.5), size=(40, 60, 30), reason="to reach the switch")
    d.bay("A", x=(22, WIDTH - 22), y=(22, DEPTH - 22))
    lid = d.place(Cover("lid", size=(WIDTH, DEPTH)), at=(0, 0, 62))
    d.join(Rest(lid, [front, back, *ends], pad=0.5))
    return d
'''
SIZES = '''\
WIDTH = 420.0
DEPTH = 240.0
SHIFT = 0.0
GAP = 6.0
PITCH = 120.0
VENT = 5.0
BOX = (80.0, 60.0, 1.5)
'''
BOX = '''\
name = "box"
source = "invented"
mass = 0.4

[[body]]
box = [120, 80, 30]
at = [0, 0, 0]

[[port]]
name = "lead"
at = [120, 40, 15]
towards = "+x"
plug = [12, 8, 30]
'''
SMALL = {"desk.py": DESK, "sizes.py": SIZES, "equipment/box.toml": BOX}

_NUMBER = re.compile(r"(?<![\w.\"])\d+(?:\.\d+)?(?![\w.\"])")
_FAULTS = ("width = = 3\n", "raise ValueError('no')\n", "import nothing_of_that_name\n", "import os; os._exit(3)\n",
           "import os; os.kill(os.getpid(), 11)\n", "import os; os.kill(os.getppid(), 9)\n", "print('x' * 100000)\n",
           "import subprocess, sys; subprocess.Popen([sys.executable, '-c', 'import time; time.sleep(600)'])\n",
           "import threading; threading.Thread(target=__import__('time').sleep, args=(600,)).start()\n",
           "import tempfile; tempfile.mkdtemp(dir='.')\n", "x = bytearray(1 << 40)\n", "raise SystemExit\n",
           "(" * 300 + "\n", "raise ValueError('no \\ud800')\n",
           "import logging; logging.basicConfig(filename='made.log')\n")
_HANG = "while True: pass\n"


def small_desk(folder: Path) -> Path:
    """Written; its script."""
    for name, text in SMALL.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)
    return folder / "desk.py"


@dataclass
class Files:
    """A desk's files as they are meant to be; ``edit`` changes one at random and saves it."""

    folder: Path
    edited: Sequence[str]
    rng: Random
    script: str = "desk.py"
    hangs: float = 0.02
    faults: float = 0.12

    def __post_init__(self) -> None:
        self._good = {name: (self.folder / name).read_text() for name in {*self.edited, self.script}}
        self._first = dict(self._good)
        self._spoilt: str | None = None

    def edit(self, number: int, *, afresh: bool) -> str:
        """What was done. Whatever an edit before it had spoilt is as it was. ``afresh``: so is every number."""
        if afresh:
            for name, text in self._first.items():
                if self._good[name] != text:
                    self._good[name] = text
                    self._save(name, text)
        if self._spoilt is not None:
            self._save(self._spoilt, self._good[self._spoilt])
            self._spoilt = None
        kind = self.rng.random()
        if kind < self.hangs:
            return self._spoil(_HANG)
        if kind < self.hangs + self.faults:
            return self._spoil(self.rng.choice(_FAULTS))
        if kind < self.hangs + self.faults + 0.05:
            self._spoilt = self.rng.choice(list(self._good))
            (self.folder / self._spoilt).unlink()
            return f"without {self._spoilt}"
        done = [self._number(number * 10 + step) for step in range(self.rng.choice((1, 1, 1, 1, 2, 4)))]
        return "; ".join(done)

    def _spoil(self, line: str) -> str:
        self._spoilt = self.rng.choice([name for name in self._good if name.endswith(".py")])
        self._save(self._spoilt, line + self._good[self._spoilt])
        return f"{line.strip()[:40]} in {self._spoilt}"

    def _number(self, stamp: int) -> str:
        """Another number somewhere; the desk gets another name, so that each good state is known from any other."""
        name = self.rng.choice(self.edited)
        if self.rng.random() < 0.2:  # not too far from where it began
            self._good[name] = self._first[name]
        text = self._good[name]
        places = [each for each in _NUMBER.finditer(text) if not text[:each.start()].rpartition("\n")[2].startswith("#")]
        place = self.rng.choice(places)
        value = max(0.0, float(place[0]) + self.rng.choice((-3.0, -0.5, -0.1, 0.1, 0.3, 1.0, 2.5, 5.0)))
        said = f"{value:.1f}".removesuffix(".0") if "." not in place[0] else f"{value:.1f}"
        self._good[name] = text[:place.start()] + said + text[place.end():]
        if name != self.script:
            self._save(name, self._good[name])
        named = re.sub(r'Desk\("([a-z ]*[a-z])[ 0-9]*"', rf'Desk("\1 {stamp}"', self._good[self.script], count=1)
        self._good[self.script] = named
        self._save(self.script, self._good[self.script])
        time.sleep(self.rng.choice((0.0, 0.0, 0.01, 0.05, 0.2)))
        return f"{name}: {place[0]} is {said}"

    def _save(self, name: str, text: str) -> None:
        """As one editor or another does."""
        path, way = self.folder / name, self.rng.randrange(4)
        if way == 0:
            path.write_text(text)
        elif way == 1:
            path.with_suffix(".new").write_text(text)
            os.replace(path.with_suffix(".new"), path)
        elif way == 2:  # the old one aside, the new one written: for a moment there is none
            if path.exists():
                os.replace(path, path.with_suffix(".old"))
            time.sleep(self.rng.choice((0.0, 0.03)))
            path.write_text(text)
        else:  # half of it first
            with path.open("w") as file:
                file.write(text[: len(text) // 2])
                file.flush()
                time.sleep(self.rng.choice((0.0, 0.03)))
                file.write(text[len(text) // 2:])
