"""Any file in or beside a log leads to a message, never to a crash at the start."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest
from log_samples import at
from log_station import simulated

from kiosk.log.record import recovery
from kiosk.log.record.recorder import start
from kiosk.log.rescue.mend import past_damage
from kiosk.log.store.codec import EventRow
from kiosk.log.store.errors import LogFault
from kiosk.log.store.files import StationLock
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.station.desk.shift.report_data import report_of_shift
from kiosk.words import Words

DEEP = '{"a":' * 100_000
HUGE = 1 << 34  # 16 GB, sparse: no space is used on the disk


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("whole") / "station.sqlite3"
    simulated(path, 4, seed=2)
    return path


def a_folder(file: Path) -> None:
    file.mkdir()
    (file / "something").write_text("in it")


def a_ring(file: Path) -> None:
    other = file.with_name("ring-of-links")
    file.symlink_to(other)
    other.symlink_to(file)


def deep(file: Path) -> None:
    file.write_text(DEEP)


def huge(file: Path) -> None:
    with file.open("wb") as made:
        made.truncate(HUGE)


def noise(file: Path) -> None:
    file.write_bytes(bytes(range(256)) * 3)


def three_bytes(file: Path) -> None:
    file.write_bytes(b"abc")


def nothing(file: Path) -> None:
    file.write_bytes(b"")


def a_pipe(file: Path) -> None:
    os.mkfifo(file)


HARMS = (a_folder, a_ring, deep, huge, noise, three_bytes, nothing, a_pipe)
BESIDE = (
    ".holder", ".lock", ".mended", "-wal", "-shm", "-journal",
    ".damaged-2026-02-02-101010", ".kept-2026-02-02-101010", ".mended-wal",
)  # fmt: skip
NO_START = {  # files SQLite or the lock cannot do without
    (".lock", a_folder), (".lock", a_ring),
    *(("-wal", harm) for harm in (a_folder, a_ring, a_pipe)),
    *(("-shm", harm) for harm in (a_folder, a_ring, a_pipe)),
    *(("-journal", harm) for harm in (a_folder, a_ring, a_pipe)),
}  # fmt: skip


def begun(path: Path) -> str:
    """Return `started` and the number of events, or the sentence that says why not."""
    try:
        recorder, mended = start(path, at(900.0), simulated=True)
    except LogFault as fault:
        return Words().say(fault.message)
    told = [recorder.taken_up, None if mended is None else mended.message]
    assert all(Words().say(each) for each in told if each is not None)
    last = recorder.last
    recorder.close()
    return f"started {last}"


@pytest.mark.parametrize("harm", HARMS, ids=lambda harm: harm.__name__)
@pytest.mark.parametrize("name", BESIDE)
def test_a_station_starts_beside_any_odd_file_or_says_why(
    path: Path, name: str, harm: Callable[[Path], None]
) -> None:
    with Store.read_only(path) as store:
        last = store.last
    for rest in ("-wal", "-shm"):
        path.with_name(path.name + rest).unlink(missing_ok=True)
    harm(path.with_name(path.name + name))
    said = begun(path)
    if (name, harm) in NO_START:
        assert str(path) in said or said.startswith("started")
    else:
        assert said in (f"started {last}", f"started {last + 1}")


def test_a_log_that_is_a_ring_of_links_is_reported(path: Path) -> None:
    path.unlink()
    a_ring(path)
    assert begun(path).startswith(f"Nothing can be recorded in {path}: ")


@pytest.mark.parametrize("harm", HARMS, ids=lambda harm: harm.__name__)
def test_a_locked_log_is_reported_whatever_its_holder_file_contains(
    path: Path, harm: Callable[[Path], None]
) -> None:
    lock = StationLock(path)
    lock.take()
    holder = path.with_name(path.name + ".holder")
    holder.unlink()
    harm(holder)
    assert "is in use by another station" in begun(path)
    lock.give()


def changed(path: Path, *statements: str, values: tuple[object, ...] = ()) -> None:
    connection = sqlite3.connect(path)
    with connection:
        for trigger in ("changed", "deleted"):
            connection.execute(f"DROP TRIGGER events_are_never_{trigger}")
        for statement in statements:
            connection.execute(statement, values if "?" in statement else ())
    connection.close()


def stored_state(state: str) -> Callable[[Path], None]:
    def harm(path: Path) -> None:
        code, seq = recovery.code_version(), 20
        total = sha256(f"{seq}|{code}|{state}".encode()).hexdigest()
        changed(
            path, "UPDATE checkpoint SET seq = ?, code = ?, state = ?, sum = ?",
            values=(seq, code, state, total),
        )  # fmt: skip

    return harm


def with_payload(payload: str) -> Callable[[Path], None]:
    """Return a harm that writes an event with a valid checksum, as an expert could."""

    def harm(path: Path) -> None:
        connection = sqlite3.connect(path)
        row = connection.execute(
            "SELECT kind, version, boot, clock, wall FROM events WHERE seq = 20"
        ).fetchone()
        connection.close()
        kind, version, boot, clock, wall = row
        total = EventRow(kind, version, boot, clock, wall, payload).sum(20)
        changed(
            path, "DELETE FROM checkpoint", "UPDATE events SET payload = ?, sum = ? WHERE seq = 20",
            values=(payload, total),
        )  # fmt: skip

    return harm


def by(*statements: str) -> Callable[[Path], None]:
    return lambda path: changed(path, *statements)


WITHIN = {
    "a deep checkpoint": stored_state(DEEP + "1" + "}" * 100_000),
    "a checkpoint with a number of a million digits": stored_state("1" * 1_000_000),
    "a checkpoint that is a list": stored_state("[]"),
    "a checkpoint with unknown words": stored_state('{"operator":{"x":1e999}}'),
    "a deep event": with_payload(DEEP + "1" + "}" * 100_000),
    "an event with a number of a million digits": with_payload('{"ticket":' + "9" * 10**6 + "}"),
    "an event that is a list": with_payload("[]"),
    "an event with an infinite number": with_payload('{"ticket":"1/1/1","seconds":1e999}'),
    "no id": by("DELETE FROM identity"),
    "an empty id": by("UPDATE identity SET station = ''"),
    "another id": by("UPDATE identity SET station = 'x'"),
    "a huge digest": by("UPDATE events SET digest = zeroblob(1000000) WHERE seq = 20"),
    "no digest": by("UPDATE events SET digest = x''"),
    "garments of nowhere": by("UPDATE garment SET stage = 'x', marks = ',,,'"),
    "no table of garments": by("DROP TABLE garment"),
    "no mark of the facts": by("DELETE FROM mark"),
    "facts of the future": by("UPDATE mark SET version = 99"),
    "no table of checkpoints": by("DROP TABLE checkpoint"),
    "no table of ids": by("DROP TABLE identity"),
    "no events": by("DELETE FROM events"),
    "a boot of a million letters": by(
        "UPDATE events SET boot = printf('%.1000000c', 'x') WHERE seq = 20"
    ),
    "no clock": by("UPDATE events SET clock = 9e999, wall = -9e999 WHERE seq = 20"),
}  # fmt: skip


def faults_of(path: Path) -> list[str]:
    try:
        return [Words().say(fault) for fault in verify(path).faults]
    except LogFault as fault:
        return [Words().say(fault.message)]


def reported(path: Path) -> str:
    try:
        with past_damage(path) as store:
            report = report_of_shift(store)
    except LogFault as fault:
        return Words().say(fault.message)
    return "no shift" if report is None else Words().say(report.title)


@pytest.mark.parametrize("what", WITHIN)
def test_a_station_starts_whatever_its_log_contains(path: Path, what: str) -> None:
    WITHIN[what](path)
    assert all(faults_of(path))
    assert reported(path)
    assert begun(path)
    assert begun(path).startswith("started")  # after mending if necessary
