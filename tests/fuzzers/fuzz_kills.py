"""Processes that press with the real state machine into a real log, killed at any moment."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from random import Random

from fuzz_pace import Pace

from kiosk.log.record.recovery import recover
from kiosk.log.store.chain import Head
from kiosk.log.store.store import Store
from kiosk.log.verify import verify

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
KILLS_OF_A_LOG = 10
MOST_LINES, MOST_SECONDS = 60, 0.02
ENVIRONMENT = {
    **os.environ,
    "PYTHONPATH": os.pathsep.join(map(str, (ROOT, HERE, HERE.parent / "run", HERE.parent / "log"))),
}
# All that a child needs is imported once; each kill is of a process of its own.
SERVER = """
import json, os, sys
import fuzz_child
fuzz_child.warm_up()
for line in sys.stdin:
    child = os.fork()
    if child == 0:
        print("pid", os.getpid(), flush=True)
        fuzz_child.press(*json.loads(line))
        os._exit(0)
    os.waitpid(child, 0)
    print(flush=True)  # its last line may have been cut off
    print("ended", flush=True)
"""


def run(pace: Pace) -> None:
    """Kill `times` processes; what one had acknowledged is there, and the next goes on."""
    folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
    with subprocess.Popen(
        [sys.executable, "-c", SERVER],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=ENVIRONMENT,
    ) as server:  # fmt: skip
        for dice in pace.cases():
            if pace.done % KILLS_OF_A_LOG == 0:
                shutil.rmtree(folder)
                folder.mkdir()
            pace.at = str(folder)
            _kill(server, folder / "log.sqlite3", dice)
        server.stdin.close()  # type: ignore[union-attr] # it is a pipe
    shutil.rmtree(folder)


def _kill(server: subprocess.Popen[str], log: Path, dice: Random) -> None:
    before = _head(log)
    lines, seconds = dice.randint(0, MOST_LINES), dice.uniform(0, MOST_SECONDS)
    last = _killed(server, [str(log), dice.randrange(10**6)], lines, seconds)
    if not log.exists() or not log.stat().st_size:
        assert (last, before) == (0, None)  # killed before it had written anything
        return
    verdict = verify(log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0), verdict.faults
    assert verdict.last >= last, f"{last} was acknowledged, {verdict.last} is there"
    with Store.read_only(log) as store:
        recover(store)
        if before is not None:
            kept = store.head_at(before.seq)
            assert kept is not None, f"{before.seq} is gone"
            assert kept.is_as(before)


def _head(log: Path) -> Head | None:
    if not log.exists() or not log.stat().st_size:
        return None
    with Store.read_only(log) as store:
        return store.head


def _killed(server: subprocess.Popen[str], asked: list[object], lines: int, seconds: float) -> int:
    """Start a process and kill it `seconds` after so many lines; return the last event it told."""
    given, heard = server.stdin, server.stdout
    assert given is not None
    assert heard is not None
    given.write(json.dumps(asked) + "\n")
    given.flush()
    pid, last, timer = int(heard.readline().split()[1]), 0, None
    if lines == 0:
        timer = _timer(pid, seconds)
    for nth, line in enumerate(_until_ended(heard), 1):
        if nth == lines:
            timer = _timer(pid, seconds)
        if line.endswith("\n") and line.strip():
            last = int(line)
    if timer is not None:
        timer.join()
    return last


def _until_ended(heard: Iterable[str]) -> Iterable[str]:
    for line in heard:
        if line == "ended\n":
            return
        yield line


def _timer(pid: int, seconds: float) -> threading.Timer:
    def kill() -> None:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)

    timer = threading.Timer(seconds, kill)
    timer.start()
    return timer
