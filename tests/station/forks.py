"""Processes that start quickly, to be killed: what they need is imported beforehand."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path

STUCK_SECONDS = 60.0
HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
ENVIRONMENT = {**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{HERE}"}


@dataclass
class KilledOutput:
    """What a killed process had printed: `events` by number, and its first `screen`."""

    events: dict[int, str] = field(default_factory=dict)
    screen: tuple[str, ...] = ()

    @property
    def last(self) -> int:
        """The last event it had acknowledged."""
        return max(self.events, default=0)

    def add(self, line: str) -> None:
        """Take one whole line."""
        first, *rest = line.split()
        if first == "screen":
            self.screen = tuple(rest)
        else:
            self.events[int(first)] = rest[0] if rest else ""


SERVER = """
import gc, json, os, sys
{imports}
gc.freeze()  # what is there is there to stay: no child looks it through, and so copies it
for line in sys.stdin:
    child = os.fork()
    if child == 0:
        print("pid", os.getpid(), flush=True)
        {call}(*json.loads(line))
        sys.stdout.flush()
        os._exit(0)
    _, status = os.waitpid(child, 0)
    print(flush=True)  # its last line may have been cut off
    print("ended", os.waitstatus_to_exitcode(status), flush=True)
"""


@contextmanager
def timer(seconds: float, pid: int) -> Iterator[None]:
    """Kill a process after `seconds`, unless the block ends before."""

    def kill() -> None:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)

    running = threading.Timer(seconds, kill)
    running.start()
    try:
        yield
    finally:
        running.cancel()
        running.join()


class Forks:
    """Starts processes quickly: all they need is imported before they fork."""

    def __init__(self, imports: str, call: str) -> None:
        self._server = subprocess.Popen(
            [sys.executable, "-c", SERVER.format(imports=imports, call=call)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT, env=ENVIRONMENT,
        )  # fmt: skip

    def killed(self, arguments: Sequence[object], lines: int, seconds: float) -> KilledOutput:
        """Start one and kill it, `seconds` after it has printed `lines` lines."""
        output = KilledOutput()
        pid = self._begin(arguments)
        lines_read = self._lines()
        with timer(STUCK_SECONDS, pid):
            began = list(islice(lines_read, lines))
        assert len(began) == lines, began  # else it ended before it was killed
        with timer(seconds, pid):
            rest = list(lines_read)
        for line in filter(str.strip, began + rest):
            output.add(line)
        return output

    def ended(self, arguments: Sequence[object]) -> int:
        """Start one that ends by itself; return its exit code, as `subprocess` gives it."""
        with timer(STUCK_SECONDS, self._begin(arguments)):
            for _ in self._lines():
                pass
        return self._code

    def _begin(self, arguments: Sequence[object]) -> int:
        stdin, stdout = self._server.stdin, self._server.stdout
        assert stdin is not None
        assert stdout is not None
        stdin.write(json.dumps(arguments) + "\n")
        stdin.flush()
        return int(stdout.readline().split()[1])

    def _lines(self) -> Iterator[str]:
        """Yield the lines it prints, up to its end."""
        for line in self._server.stdout or ():
            if line.startswith("ended"):
                self._code = int(line.split()[1])
                return
            yield line

    def close(self) -> None:
        """End the process that starts them."""
        self._server.communicate()
