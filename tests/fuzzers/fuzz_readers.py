"""Readers of a record whose station is killed and restarted must never be misled."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
import traceback
from collections.abc import Callable
from pathlib import Path
from random import Random
from threading import Thread

from fuzz_pace import Pace
from log_samples import at, beginning
from log_station import unsynced

from kiosk.log.record.recorder import Recorder
from kiosk.log.rescue.copies import back_up
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.office.follow import OneLog
from kiosk.run.state.events_station import Held
from kiosk.station.desk.shift.report_data import report_of_shift

MOST_EVENTS = 150  # in one life of the station; SQLite folds a tail in after some 300
READINGS = 30  # of one connection
POLITE = 5  # nice(2) increment, so that stations come and go faster
LATEST = "latest"  # a file with the number of the last event recorded


def run(pace: Pace) -> None:
    """Let a station live `times` times, with all readers running all the time."""
    folder = Path(tempfile.mkdtemp(prefix="kiosk-fuzz-"))
    log = folder / "station.sqlite3"
    _station(log, Random(pace.seed))
    readers = {os.fork() or _reads(log, reader): reader.__name__ for reader in READERS}
    try:
        for dice in pace.cases():
            pace.at = str(folder)
            station = os.fork() or _lives(log, dice)
            ended = os.waitstatus_to_exitcode(os.waitpid(station, 0)[1])
            assert ended in (0, -signal.SIGKILL), f"the station ended with {ended}"
            pace.counted["killed" if ended else "closed"] += 1
            _all_read_on(readers)
    finally:
        for reader in readers:
            os.kill(reader, signal.SIGKILL)
            os.waitpid(reader, 0)
    with Store.read_only(log) as store:
        assert _whole(store) == int((folder / LATEST).read_text("ascii"))
    shutil.rmtree(folder)


def _all_read_on(readers: dict[int, str]) -> None:
    for reader, name in list(readers.items()):
        gone, status = os.waitpid(reader, os.WNOHANG)
        if gone:
            del readers[reader]
            raise AssertionError(f"{name} ended with {os.waitstatus_to_exitcode(status)}")


def _lives(log: Path, dice: Random) -> int:
    """Be a station in this process for some events, then die or end."""
    try:
        _station(log, dice, kill=dice.random() < 0.7)
    except BaseException:
        traceback.print_exc()
        os._exit(1)
    os._exit(0)


def _station(log: Path, dice: Random, kill: bool = False) -> None:
    recorder = Recorder(unsynced(Store.open(log)))
    if not recorder.last:
        recorder.note(*beginning())
    for nth in range(dice.randint(1, MOST_EVENTS)):
        recorder.note(Held(at(100.0 + nth), "phone"))
    (log.parent / LATEST).write_text(str(recorder.last), "ascii")
    if kill:
        os.kill(os.getpid(), signal.SIGKILL)
    recorder.close()


def _reads(log: Path, reader: Callable[[Path], None]) -> int:
    """Read in this process until it is killed, retrying when the log is locked."""
    os.nice(POLITE)
    while True:
        try:
            reader(log)
        except CannotRecord:
            continue
        except BaseException:
            traceback.print_exc()
            os._exit(1)


def _whole(store: Store) -> int:
    with store.reading():
        found = [seq for seq, _ in store.events()]
        assert found == list(range(1, store.last + 1)), (found[-3:], store.last)
        return store.last


def one_for_long(log: Path) -> None:
    """Keep one connection, like the process that sends a record to the shop's server."""
    with Store.read_only(log) as store:
        for _ in range(READINGS):
            _whole(store)


def board(log: Path) -> None:
    """Follow the station with one connection while pages are opened and closed."""
    place, wrong = OneLog(log), list[BaseException]()

    def page() -> None:
        try:
            for _ in range(READINGS):
                with place.records() as (record,):
                    assert len(list(record.events())) == record.last
        except CannotRecord:
            pass
        except BaseException as error:
            wrong.append(error)

    pages = [Thread(target=page) for _ in range(2)]
    for each in pages:
        each.start()
    with place.watched() as watch:
        for _ in range(READINGS):
            with watch.looks(None) as looks:
                assert looks
            watch.wait(0.01)
    for each in pages:
        each.join()
    if wrong:
        raise wrong[0]


def report(log: Path) -> None:
    """Run `kiosk report`."""
    with Store.read_only(log) as store:
        report_of_shift(store)


def backup(log: Path) -> None:
    """Run `kiosk log --backup` beside the station; the copy must be whole."""
    copy = log.with_name("copy.sqlite3")
    copy.unlink(missing_ok=True)
    with Store.read_only(log) as store:
        back_up(store, copy)
    with Store.read_only(copy) as made:
        _whole(made)


READERS = (one_for_long, one_for_long, board, report, backup)
