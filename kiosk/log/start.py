"""How a station gets at its log, whatever state that is in."""

from __future__ import annotations

from pathlib import Path

from kiosk.log.errors import Damaged
from kiosk.log.mend import Mended, mend
from kiosk.log.recorder import Recorder
from kiosk.log.store import Store
from kiosk.run.model import Now


def start(path: Path, now: Now, simulated: bool = False) -> tuple[Recorder, Mended | None]:
    """Open the log at `path`, mended first where it is damaged, and recover the state.

    Raises Busy, WrongLog, NotALog, Newer, CannotRecord.
    """
    try:
        return _recorder(path, simulated), None
    except Damaged:
        mended = mend(path, now)
        return _recorder(path, simulated), mended


def _recorder(path: Path, simulated: bool) -> Recorder:
    store = Store.open(path, simulated)
    try:
        return Recorder(store)
    except BaseException:
        store.close()
        raise
