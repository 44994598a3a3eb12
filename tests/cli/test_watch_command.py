"""``deskmodel watch`` from outside: what it prints and serves, and that an interrupt ends everything."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.cli.commands import CLEAN, STRIKING, command, deskmodel, environment
from tests.session.test_random_edits import family


class Watching:
    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.said = ""

    def until(self, pattern: str) -> str:
        """What it has printed since the last time, up to the line that the pattern is found in."""
        assert self.process.stdout is not None
        said = ""
        for line in self.process.stdout:
            said += line
            self.said += line
            if re.search(pattern, line):
                return said
        raise AssertionError(f"{pattern!r} was not said: {self.said}")

    def interrupt(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(30)


@contextmanager
def watching(folder: Path, *options: str, **more: str) -> Iterator[Watching]:
    temporary = folder / "temporary"
    temporary.mkdir()
    process = subprocess.Popen(command("watch", *options), cwd=folder, text=True, stdout=subprocess.PIPE,
                               stderr=(folder / "errors").open("w"), stdin=subprocess.DEVNULL,
                               env={**environment(folder / "cache"), "TMPDIR": str(temporary), **more})
    try:
        yield Watching(process)
    finally:
        process.kill()
        process.communicate()
    assert list(temporary.iterdir()) == []


def scene(address: str, number: int) -> dict[str, object]:
    """What is served of that round, once it is: the terminal tells of it first."""
    end = time.monotonic() + 20
    while (told := served(address))["round"]["number"] < number and time.monotonic() < end:  # type: ignore[index]
        time.sleep(0.01)
    return told


def served(address: str) -> dict[str, object]:
    host, path = address.removeprefix("http://").split("/", 1)
    connection = http.client.HTTPConnection(host, timeout=20)
    try:
        connection.request("GET", f"/{path}scene")
        told = json.loads(connection.getresponse().read())
        assert isinstance(told, dict)
        return told
    finally:
        connection.close()


def test_rounds_come_on_the_page_and_an_interrupt_ends_everything(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    with watching(tmp_path) as running:
        assert "watching desk.py" in running.until("the page: ")
        address = running.said.split()[-1]
        assert re.fullmatch(r"http://127\.0\.0\.1:\d+/[\w-]{43,}/", address)
        running.until("nothing stops the build")
        first = scene(address, 1)
        assert (first["name"], first["round"]["number"], first["round"]["fault"]) == ("small frame", 1, None)
        assert set(first["round"]["seconds"]) >= {"running the script", "checking", "page", "all"}
        assert first["round"]["changes"] == {"new": [], "gone": [], "still": []}
        (tmp_path / "desk.py").write_text(STRIKING)
        running.until("stops? the build")
        second = scene(address, 2)
        told = [second["findings"][index] for index in second["round"]["changes"]["new"]]
        assert ("parts-overlap", ["front", "strip"]) in [(each["id"], sorted(each["parts"])) for each in told]
        (tmp_path / "desk.py").write_text("import nothing_of_that_name\n")
        running.until("still stands")
        third = scene(address, 3)
        assert "nothing_of_that_name" in third["round"]["fault"]["text"]
        assert third["round"]["changes"] is None
        assert [part["name"] for part in third["parts"]] == [part["name"] for part in second["parts"]]
        (tmp_path / "desk.py").write_text("raise ValueError('half a character: \\ud800')\n")
        running.until("half a character")
        assert "half a character: \ud800" in scene(address, 4)["round"]["fault"]["text"]
        (tmp_path / "desk.py").write_text(CLEAN)
        running.until("nothing stops the build")
        fourth = scene(address, 5)
        gone = [(each["id"], each["parts"]) for each in fourth["round"]["changes"]["gone"]]
        assert ("parts-overlap", ["front", "strip"]) in [(name, sorted(parts)) for name, parts in gone]

        port = int(address.split(":")[2].split("/")[0])
        listening = socket.create_connection(("127.0.0.1", port))
        listening.sendall(f"GET /{address.split('/')[3]}/events HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
        assert listening.recv(9) == b"HTTP/1.1 "
        processes = family(running.process.pid)
        assert len(processes) >= 2
        assert running.interrupt() == 0
        time.sleep(0.1)
        assert not [pid for pid in processes if Path(f"/proc/{pid}").exists()]
        listening.close()
        try:
            socket.create_connection(("127.0.0.1", port), 1.0).close()
        except ConnectionRefusedError:
            pass
        else:
            raise AssertionError("somebody still listens")
    assert "Traceback" not in (tmp_path / "errors").read_text()


def test_an_interrupt_while_a_script_hangs(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(f"open({str(tmp_path / 'begun')!r}, 'w')\nwhile True: pass\n")
    with watching(tmp_path) as running:
        running.until("the page: ")
        end = time.monotonic() + 60
        while not (tmp_path / "begun").exists() and time.monotonic() < end:
            time.sleep(0.02)
        processes = family(running.process.pid)
        assert len(processes) >= 3  # the watch, the waiting process, the script
        assert running.interrupt() == 0
        time.sleep(0.1)
        assert not [pid for pid in processes if Path(f"/proc/{pid}").exists()]


def test_the_terminal_only(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    with watching(tmp_path, "--no-page") as running:
        running.until("nothing stops the build")
        assert "http" not in running.said
        assert running.interrupt() == 0


def test_a_port_and_the_system_s_browser(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    browser = tmp_path / "browser"
    browser.write_text(f"#!/bin/sh\necho \"$1\" > {tmp_path / 'opened'}\n")
    browser.chmod(0o755)
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        ran = deskmodel("watch", "--port", str(port), cwd=tmp_path)
        assert ran.returncode == 2
        assert f"port {port} of 127.0.0.1 cannot be had" in " ".join(ran.stderr.split())
        assert ran.stdout == ""
    with watching(tmp_path, "--port", str(port), "--open", BROWSER=f"{browser} %s &") as running:
        running.until("nothing stops the build")
        address = next(line.split()[-1] for line in running.said.splitlines() if "http" in line)
        assert address.startswith(f"http://127.0.0.1:{port}/")
        assert (tmp_path / "opened").read_text().strip() == address
        assert running.interrupt() == 0
    for text in ("0", "65536", "-1", "x", "8 0", "٣"):
        ran = deskmodel("watch", "--port", text, cwd=tmp_path)
        assert ran.returncode == 2
        assert "is no port" in ran.stderr


def test_no_browser_of_the_terminal_is_started(tmp_path: Path) -> None:
    (tmp_path / "desk.py").write_text(CLEAN)
    with watching(tmp_path, "--open", BROWSER="cat %s") as running:
        running.until("the page: ")
        running.until("nothing stops the build")
        assert "no browser could be started" in (tmp_path / "errors").read_text()
        assert running.interrupt() == 0
    assert os.listdir(tmp_path / "temporary") == []
