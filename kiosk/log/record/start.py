"""How a station gets at its log, whatever state that is in."""

from __future__ import annotations

from pathlib import Path

from kiosk.log.record.recorder import Recorder
from kiosk.log.rescue.kept import take_up
from kiosk.log.rescue.mend import Mended, mend
from kiosk.log.store.errors import Damaged
from kiosk.log.store.store import Store
from kiosk.run.state import Now


def start(path: Path, now: Now, simulated: bool = False) -> tuple[Recorder, Mended | None]:
    """Open the log at `path`, mended first where it is damaged, and recover the state.

    What an earlier run kept beside it is taken up first. Raises Busy, WrongLog, NotALog, Newer,
    CannotRecord.
    """
    path = path.resolve()
    taken_up = take_up(path)
    try:
        recorder, mended = _recorder(path, simulated), None
    except Damaged:
        mended = mend(path, now)
        recorder = _recorder(path, simulated)
    recorder.taken_up = taken_up
    return recorder, mended


def _recorder(path: Path, simulated: bool) -> Recorder:
    store = Store.open(path, simulated)
    try:
        return Recorder(store)
    except BaseException:
        store.close()
        raise
