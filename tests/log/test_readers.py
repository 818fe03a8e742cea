"""A log's reader keeps SQLite's locks, whatever files this process opens and closes.

What releases the locks, and the consequences: sqlite.org/howtocorrupt.html (2.2), walformat.html
(2.3).
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from log_station import Station

from kiosk.log.store import wal
from kiosk.log.store.store import Store

HERE = Path(__file__).parent
IN_USE = 128  # the byte of an index that every user of it locks
TAKES = """import fcntl, sys
with open(sys.argv[1], "r+b") as index:
    fcntl.lockf(index, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, int(sys.argv[2]))"""


FOLDS = """import sqlite3, sys
log = sqlite3.connect(sys.argv[1], timeout=0)
print(log.execute("PRAGMA wal_checkpoint(RESTART)").fetchone()[0])"""


@pytest.fixture
def log(tmp_path: Path) -> Path:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.recorder.close()
    return station.path


@contextmanager
def at_work(log: Path) -> Iterator[None]:
    """Run a station in another process, killed at the end."""
    command = [sys.executable, str(HERE / "recording_child.py"), str(log)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as station:
        assert station.stdout is not None
        assert int(station.stdout.readline())
        try:
            yield
        finally:
            station.kill()


def index_of(log: Path) -> Path:
    return log.with_name(log.name + "-shm")


def can_be_taken(index: Path) -> bool:
    """Whether another process can take the lock that nobody gets while the index is in use."""
    command = [sys.executable, "-c", TAKES, str(index), str(IN_USE)]
    return subprocess.run(command, capture_output=True, check=False).returncode == 0


def test_a_reader_keeps_the_index_from_being_rebuilt_after_a_kill(log: Path) -> None:
    with at_work(log):
        reader = Store.read_only(log)
    with reader, reader.reading():
        assert [seq for seq, _ in reader.events()] == list(range(1, reader.last + 1))
        assert not can_be_taken(index_of(log))
    assert can_be_taken(index_of(log))


def test_closing_a_second_reader_leaves_the_first_ones_lock(log: Path) -> None:
    with at_work(log), Store.read_only(log) as first, first.reading():
        Store.read_only(log).close()
        command = [sys.executable, "-c", FOLDS, str(log)]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert done.stdout == "1\n"  # busy: no new tail is begun under a reader


def test_a_replaced_index_is_read_again(tmp_path: Path) -> None:
    index = tmp_path / "log-shm"
    assert wal.start_of_index(index, 3) == b""
    for content in (b"one", b"two"):
        new = tmp_path / "new"
        new.write_bytes(content)
        new.replace(index)
        assert wal.start_of_index(index, 3) == content
    index.unlink()
    assert wal.start_of_index(index, 3) == b""


def test_a_limited_number_of_indexes_stays_open(tmp_path: Path) -> None:
    handles = Path("/proc/self/fd")
    before = len(list(handles.iterdir()))
    for nth in range(3 * wal.INDEXES):
        index = tmp_path / f"{nth}-shm"
        index.write_bytes(b"one")
        assert wal.start_of_index(index, 3) == b"one"
    assert len(list(handles.iterdir())) <= before + wal.INDEXES
