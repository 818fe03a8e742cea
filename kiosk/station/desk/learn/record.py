"""The record of practice: a file of its own beside the station's."""

from collections.abc import Callable
from pathlib import Path

from kiosk.catalog.base import Message
from kiosk.log.record import Recorder, start
from kiosk.log.store import LogFault
from kiosk.run.state import Event, Now, Start
from kiosk.train.practice import Training, trained


def practice_log(log: Path) -> Path:
    """Return where practice beside a station's log is recorded."""
    return log.with_name(f"{log.stem}-practice{log.suffix}")


class PracticeRecord:
    """Practice's own record, opened when needed; its `fault`, or what was `mended` then."""

    def __init__(self, log: Path, version: str, now: Callable[[], Now]) -> None:
        self.path = practice_log(log)
        self.fault: Message | None = None
        self.mended: Message | None = None
        self._version = version
        self._now = now
        self._recorder: Recorder | None = None
        self._training: Training = {}

    def open(self) -> bool:
        """Open the record; False where that cannot be, `fault` then says why."""
        if self._recorder is not None:
            return True
        try:
            recorder, mended = start(self.path, self._now(), simulated=True)
            self._training = trained(each.event for each in recorder.store.events())
        except LogFault as fault:
            self.fault = fault.message
            return False
        recorder.do(Start(self._version, simulated=True), self._now())
        self._recorder, self.fault = recorder, None
        self.mended = None if mended is None else mended.message
        return True

    @property
    def training(self) -> Training:
        """Return what every trainee has shown so far; nothing where it cannot be read."""
        if self._recorder is None and self.fault is None and self.path.exists():
            self.open()
        return self._training

    def note(self, event: Event) -> None:
        """Put an event on disk, then count it."""
        if self._recorder is not None:
            self._recorder.note(event)
        self._training = trained((event,), self._training)

    @property
    def unrecorded(self) -> int:
        """How many events wait to be written."""
        return 0 if self._recorder is None else self._recorder.unrecorded

    def close(self) -> None:
        """Close the record, if it is open."""
        if self._recorder is not None:
            self._recorder.close()
            self._recorder = None
