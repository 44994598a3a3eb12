"""The waiting process from which scripts are forked: it knows nothing of them, survives them, and leaves nothing behind."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from deskmodel.session.nursery import Nursery
from deskmodel.session.script import SCRIPT_CHILD, run_script
from tests.cli.commands import environment
from tests.test_layers import HEAVY

SCRIPT = """\
import os, sys
from deskmodel import Desk, Member
import sizes

def desk() -> Desk:
    d = Desk("one rail")
    d.place(Member("rail", section=(22, 60), length=sizes.LENGTH, material="ash"), at=(0, 0, 0))
    {more}
    return d
"""


@pytest.fixture
def nursery() -> Iterator[Nursery]:
    waiting = Nursery(SCRIPT_CHILD)
    waiting.begin()
    yield waiting
    waiting.close()


def script(folder: Path, more: str = "pass", length: int = 300) -> Path:
    path = folder / "desk.py"
    path.write_text(SCRIPT.format(more=more))
    (folder / "sizes.py").write_text(f"LENGTH = {length}\n")
    return path


def number_of(nursery: Nursery) -> int:
    assert nursery._waiting is not None
    return nursery._waiting._process.pid


def there(pid: int) -> bool:
    """Whether it runs; a zombie does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


def gone(pid: int) -> bool:
    end = time.monotonic() + 10.0
    while there(pid) and time.monotonic() < end:
        time.sleep(0.01)
    return not there(pid)


def test_modules_are_imported_anew_for_each_run(nursery: Nursery, tmp_path: Path) -> None:
    for length in (300, 310, 320):
        ran = run_script(script(tmp_path, length=length), nursery=nursery)
        assert ran.desk is not None
        assert f"{length}" in ran.desk.model
        again = run_script(tmp_path / "desk.py")
        assert again.desk is not None
        assert ran.desk.model == again.desk.model
        assert ran.files == again.files


def test_what_a_script_does_to_its_process_the_next_one_does_not_see(nursery: Nursery, tmp_path: Path) -> None:
    dirty = ("import deskmodel.desk, json; deskmodel.desk.Desk.place = None; json.dumps = None; os.environ['X_DESK'] = '1'; "
             "os.chdir('/'); sys.path.insert(0, '/nowhere'); sys.setrecursionlimit(50); os.umask(0)")
    run_script(script(tmp_path, dirty), nursery=nursery)
    told = tmp_path / "told"
    ran = run_script(script(tmp_path, f"open({str(told)!r}, 'w').write(os.getcwd() + str(os.environ.get('X_DESK')) + "
                                      f"str('/nowhere' in sys.path))"), nursery=nursery)
    assert ran.fault is None
    assert told.read_text() == f"{os.getcwd()}NoneFalse"


LOOKS_ROUND = """
    import json
    open_there = [int(each) for each in os.listdir("/proc/self/fd")]
    told = {"modules": sorted(name.split(".")[0] for name in sys.modules), "own session": os.getsid(0) == os.getpid(),
            "descriptors": sorted(open_there)}
    with open(os.path.join(os.path.dirname(__file__), "told"), "w") as file:
        json.dump(told, file)
"""


def test_it_has_neither_kernel_nor_descriptors_nor_session_of_this_process(nursery: Nursery, tmp_path: Path) -> None:
    script(tmp_path, LOOKS_ROUND.strip())
    secret = os.open(__file__, os.O_RDONLY)
    os.set_inheritable(secret, True)
    try:
        ran = run_script(tmp_path / "desk.py", nursery=nursery)
    finally:
        os.close(secret)
    assert ran.fault is None
    told = json.loads((tmp_path / "told").read_text())
    assert not HEAVY & set(told["modules"])
    assert told["own session"]
    assert len(told["descriptors"]) <= 5  # three streams, the channel, the folder that is being listed


@pytest.mark.parametrize("how", ["os.kill(os.getppid(), 9)", "os.kill(os.getppid(), 19)"], ids=["ended", "stopped"])
def test_a_script_that_hurts_it_hurts_no_later_run(how: str, nursery: Nursery, tmp_path: Path,
                                                    monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("deskmodel.processes.GRACE", 0.5)
    first = number_of(nursery)
    ran = run_script(script(tmp_path, f"{how}; open('{tmp_path}/times', 'a').write('x')"), nursery=nursery)
    assert ran.desk is not None  # it did go on, and answered
    assert (tmp_path / "times").read_text() == "x"
    assert gone(first)
    nursery.begin()
    ran = run_script(script(tmp_path, f"{how}; os._exit(1)"), nursery=nursery)
    assert ran.fault is not None
    assert "the process that it was started from" in ran.fault.problem
    ran = run_script(script(tmp_path), nursery=nursery)
    assert ran.desk is not None
    assert number_of(nursery) != first


def test_a_script_that_ends_it_before_the_request_is_known_to_be_sent_is_not_run_again(
        nursery: Nursery, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever asks may be kept from going on between the two, on a busy machine."""
    send = socket.send_fds

    def slowly(to: socket.socket, lines: list[bytes], descriptors: list[int]) -> int:
        sent = send(to, lines, descriptors)
        while there(waiting):
            time.sleep(0.01)
        return sent

    def again(*asked: object, **more: object) -> None:
        pytest.fail("the script was run a second time")

    waiting = number_of(nursery)
    monkeypatch.setattr("deskmodel.session.nursery.socket.send_fds", slowly)
    monkeypatch.setattr("deskmodel.session.nursery.ask", again)
    path = script(tmp_path)
    path.write_text("import os\nos.kill(os.getppid(), 9)\n" + path.read_text())
    assert run_script(path, nursery=nursery).desk is not None
    monkeypatch.undo()
    assert run_script(script(tmp_path), nursery=nursery).desk is not None


def test_one_that_says_nothing_is_ended_before_another_way_is_taken(nursery: Nursery, tmp_path: Path,
                                                                    monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("deskmodel.session.nursery._START", 0.5)
    assert run_script(script(tmp_path), nursery=nursery, seconds=30).desk is not None
    nursery.begin()
    first = number_of(nursery)
    os.kill(first, signal.SIGSTOP)
    script(tmp_path, f"open('{tmp_path}/times', 'a').write('x')")
    ran = run_script(tmp_path / "desk.py", nursery=nursery)
    assert ran.desk is not None
    assert gone(first)
    assert (tmp_path / "times").read_text() == "x"


def test_closing_ends_it_and_may_be_done_again(tmp_path: Path) -> None:
    nursery = Nursery(SCRIPT_CHILD)
    assert run_script(script(tmp_path), nursery=nursery).desk is not None
    pid = number_of(nursery)
    nursery.close()
    nursery.close()
    assert not there(pid)
    nursery = Nursery(SCRIPT_CHILD)
    nursery.begin()
    pid = number_of(nursery)
    del nursery
    assert gone(pid)


def test_it_ends_with_the_process_it_waits_for_and_so_does_a_run(tmp_path: Path) -> None:
    told = tmp_path / "told"
    script(tmp_path, f"print(os.getpid(), os.getppid(), file=open({str(told)!r}, 'w'), flush=True); "
                     "import time; time.sleep(600)")
    code = ("import sys\nfrom pathlib import Path\nfrom deskmodel.session.nursery import Nursery\n"
            "from deskmodel.session.script import SCRIPT_CHILD, run_script\n"
            "run_script(Path(sys.argv[1]), nursery=Nursery(SCRIPT_CHILD), seconds=600)\n")
    asking = subprocess.Popen([sys.executable, "-c", code, str(tmp_path / "desk.py")], env=environment("off"))
    end = time.monotonic() + 20.0
    while not (told.exists() and told.read_text().endswith("\n")) and time.monotonic() < end:
        time.sleep(0.02)
    run, waiting = map(int, told.read_text().split())
    assert there(run)
    assert there(waiting)
    asking.send_signal(signal.SIGKILL)
    asking.wait()
    assert gone(waiting)
    assert gone(run)
