"""The process beside the station that sends its record to the shop's server: `kiosk ship`.

It is started, restarted when it dies, and ends with the station. Nobody waits for it: messages to
and from it travel on threads of their own.
"""

import json
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from queue import SimpleQueue
from threading import Condition, Event, Thread
from typing import Any

from kiosk.catalog.base import Message, dataclass, say, why_of

FIRST_PAUSE, LONGEST_PAUSE = 1.0, 60.0  # seconds before a dead process is restarted
SETTLED_SECONDS = 60.0  # a process that lived this long started well
NO_DRIVER = 2  # exit code of a program without the server's driver
END_SECONDS = 1.0  # before a process that does not react is killed


@dataclass(frozen=True, slots=True)
class SendingState:
    """State of the sending, with its reason if there is one.

    `state` is `starting` until the first answer, `sent` while sending works, `away` while the
    server cannot be reached, `parted` if the server has other events for this record, `wrong`
    if someone must act. `last` is the last event at the server and `at` when that was known
    (wall seconds since 1970); both are None until the server is reached for the first time.
    """

    state: str = "starting"
    last: int | None = None
    at: float | None = None
    message: Message | None = None


def command(log: Path, recipes: Path) -> tuple[str, ...]:
    """Return the command line of the process that sends a record."""
    own = (sys.executable, "-m", "kiosk", "ship", str(log), "--follow", "--beside")
    return (*own, "--recipes", str(recipes.resolve()))


class SendingProcess:
    """Keeps the process running from `start` to `close`, and holds its latest message."""

    def __init__(self, command: Sequence[str], pause: float = FIRST_PAUSE) -> None:
        self.status = SendingState()
        self.process: subprocess.Popen[str] | None = None
        self._command, self._pause = tuple(command), pause
        self.answer: dict[str, Any] | None = None  # to the latest wish
        self._ended, self._lock = Event(), Condition()
        self._outbox: SimpleQueue[str | None] = SimpleQueue()
        self._wish: dict[str, Any] | None = None  # nothing sent yet
        self._number = self._answered_number = 0  # of the latest wish, and of the last one answered
        self._thread: Thread | None = None
        self._news = False

    def start(self) -> None:
        """Start the process; returns at once."""
        self._thread = Thread(target=self._run, name="beside", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the process by closing its input."""
        self._ended.set()
        self._outbox.put(None)
        if self._thread is not None:
            self._thread.join(END_SECONDS)
        with suppress(AttributeError, OSError):
            self.process.kill()  # type: ignore[union-attr]  # there may be no process

    def wish(self, wish: dict[str, Any], request: dict[str, Any] | None = None) -> int:
        """Send what the station wants from the shop; return the wish's number.

        A restarted process gets the wish again, but not `request`.
        """
        with self._lock:
            if wish != self._wish or request:
                self._wish, self.answer = wish, None
                self._number += 1
                self._outbox.put(self._line(request))
            return self._number

    def ask(
        self, wish: dict[str, Any], seconds: float, request: dict[str, Any] | None = None
    ) -> dict[str, Any] | None:
        """Send a wish and return the server's answer, or None if none comes within `seconds`.

        Does not wait if the process was never started.
        """
        with self._lock:
            number = self.wish(wish, request)
            if self._thread is not None:
                self._lock.wait_for(lambda: self._answered_number >= number, seconds)
            return self.answer if self._answered_number >= number else None

    def has_news(self) -> bool:
        """Return whether a message came since the last call."""
        news, self._news = self._news, False
        return news

    def _line(self, request: dict[str, Any] | None = None) -> str:
        sent = {"number": self._number, "wish": self._wish, **(request or {})}
        return json.dumps(sent, ensure_ascii=False)

    def _run(self) -> None:
        pause = self._pause
        while not self._ended.is_set():
            began = time.monotonic()
            try:
                self._run_once()
            except OSError as problem:
                self._take({"state": "wrong", "message": _stop_message(why_of(problem))})
            if time.monotonic() - began > SETTLED_SECONDS:
                pause = self._pause
            self._ended.wait(pause)
            pause = min(2 * pause, LONGEST_PAUSE)

    def _run_once(self) -> None:
        """Run one process from its start to its end."""
        process = self._start()
        with self._lock:
            self.process, self._outbox = process, SimpleQueue()
            if self._number:
                self._outbox.put(self._line())
            outbox = self._outbox
        if self._ended.is_set():
            outbox.put(None)
        write = Thread(target=_write, args=(process, outbox), name="to beside", daemon=True)
        write.start()
        assert process.stdout is not None  # stdout=PIPE
        with process.stdout as lines:
            for line in lines:
                with suppress(ValueError, KeyError, TypeError, AttributeError):
                    self._take(json.loads(line))
        outbox.put(None)
        code = process.wait()
        if code and not self._ended.is_set() and self.status.state != "wrong":
            why = say("command.shop.no_driver") if code == NO_DRIVER else _stop_message(str(code))
            self._take({"state": "wrong", "message": why})

    def _start(self) -> subprocess.Popen[str]:
        """Start the process in its own session, out of reach of the station's terminal keys."""
        pipe = subprocess.PIPE
        return subprocess.Popen(
            self._command, stdin=pipe, stdout=pipe, text=True, encoding="utf-8", bufsize=1,
            errors="replace", start_new_session=True,
        )  # fmt: skip

    def _take(self, report: dict[str, Any]) -> None:
        """Take a message of the process; what is known to be at the server outlives the process."""
        before, message = self.status, report.get("message")
        if isinstance(message, dict):
            message = Message(message["id"], message["values"])
        self.status = SendingState(
            report["state"], report.get("last", before.last), report.get("at", before.at), message
        )
        with self._lock:
            self._answered_number = report.get("number", 0)
            if self._answered_number == self._number:
                self.answer = report.get("answer")
            self._news = True
            self._lock.notify_all()


def _write(process: subprocess.Popen[str], outbox: "SimpleQueue[str | None]") -> None:
    """Write queued lines to the process; None closes its input, which ends it."""
    stdin = process.stdin
    assert stdin is not None  # stdin=PIPE
    with suppress(OSError, ValueError):
        while (line := outbox.get()) is not None:
            stdin.write(line + "\n")
            stdin.flush()
    with suppress(OSError, ValueError):
        stdin.close()


def _stop_message(why: Message | str) -> Message:
    return say("shop.beside.stopped", why=why)
