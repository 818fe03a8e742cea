"""The store: append-only, one commit for what belongs together, one station per file."""

from __future__ import annotations

import sqlite3
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from log_samples import beginning, closed

from kiosk.log.store import codec
from kiosk.log.store.errors import Busy, CannotRecord, Newer, NotALog, WrongLog
from kiosk.log.store.store import Store
from kiosk.words import Words


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "station.sqlite3"


def foreign(path: Path, sql: str) -> None:
    """Change the file with another tool."""
    connection = sqlite3.connect(path)
    try:
        with connection:
            connection.execute(sql)
    finally:
        connection.close()


def test_events_come_back_in_order_with_numbers_from_one(path: Path) -> None:
    with Store.open(path) as store:
        assert store.append(beginning()) == 3
        assert store.append([closed(5.0)]) == 4
        assert [seq for seq, _ in store.events()] == [1, 2, 3, 4]
        assert [event for _, event in store.events()] == [*beginning(), closed(5.0)]


def test_written_events_are_there_after_reopening_the_file(path: Path) -> None:
    with Store.open(path) as store:
        store.append(beginning())
    with Store.open(path) as store:
        assert store.last == 3
        assert store.append([closed(5.0)]) == 4


def modes(folder: Path) -> dict[str, int]:
    return {each.name: stat.S_IMODE(each.stat().st_mode) for each in folder.iterdir()}


def test_only_its_owner_can_read_a_new_record_and_what_sqlite_puts_beside_it(path: Path) -> None:
    """It holds initials, like its pages and copies; with 644 every user of the tablet read it."""
    with Store.open(path) as store:
        store.append(beginning())
        found = modes(path.parent)
    beside_it = [path.name, f"{path.name}-wal", f"{path.name}-shm"]
    assert {name: found[name] for name in beside_it} == dict.fromkeys(beside_it, 0o600)


def test_a_record_that_a_shop_opened_to_its_group_stays_open(path: Path) -> None:
    Store.open(path).close()
    path.chmod(0o640)
    with Store.open(path) as store:
        store.append(beginning())
        assert modes(path.parent)[f"{path.name}-wal"] == 0o640
    assert modes(path.parent)[path.name] == 0o640


def test_a_log_killed_at_its_very_start_is_reported_as_empty(path: Path) -> None:
    path.touch()
    with pytest.raises(NotALog) as none:
        Store.read_only(path)
    assert Words().say(none.value.message) == f"The record {path} is still empty."
    with Store.open(path) as store:
        assert store.append(beginning()) == 3


def test_a_range_of_events_can_be_read_by_number(path: Path) -> None:
    with Store.open(path) as store:
        store.append([*beginning(), closed(5.0), closed(6.0)])
        assert [seq for seq, _ in store.events(4)] == [4, 5]
        assert [seq for seq, _ in store.events(2, 3)] == [2, 3]


def test_every_commit_waits_for_the_disk(path: Path) -> None:
    with Store.open(path) as store:
        assert next(store.rows("PRAGMA journal_mode")) == ("wal",)
        assert next(store.rows("PRAGMA synchronous")) == (2,)  # FULL: sqlite.org/pragma.html


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE events SET payload = '{}' WHERE seq = 2",
        "DELETE FROM events WHERE seq = 3",
        "DELETE FROM events",
        "INSERT OR REPLACE INTO events SELECT 2, kind, version, boot, clock, wall, payload, sum,"
        " digest FROM events WHERE seq = 1",
        "INSERT INTO events SELECT 9, kind, version, boot, clock, wall, payload, sum, digest"
        " FROM events WHERE seq = 1",
        "INSERT INTO events SELECT NULL, kind, version, boot, clock, wall, payload, sum, digest"
        " FROM events WHERE seq = 1",
    ],
)
def test_another_program_cannot_change_recorded_events(path: Path, sql: str) -> None:
    with Store.open(path) as store:
        store.append(beginning())
    with pytest.raises(sqlite3.IntegrityError):
        foreign(path, sql)
    with Store.open(path) as store:
        assert [event for _, event in store.events()] == list(beginning())


def test_events_of_one_command_are_written_together_or_not_at_all(path: Path) -> None:
    with Store.open(path) as store:
        store.append(beginning())
        store.rows("SELECT 1")
        foreign(path, "CREATE TRIGGER no BEFORE INSERT ON events WHEN NEW.seq = 5"
                " BEGIN SELECT RAISE(ABORT, 'no'); END")  # fmt: skip
        with pytest.raises(CannotRecord):
            store.append([closed(5.0), closed(6.0)])
        assert store.last == 3
        foreign(path, "DROP TRIGGER no")
        assert store.append([closed(5.0), closed(6.0)]) == 5


def test_a_second_station_on_one_log_learns_which_process_has_it(path: Path) -> None:
    holder = subprocess.Popen(
        [sys.executable, "-c",
         "import sys; from pathlib import Path; from kiosk.log.store import Store\n"
         "store = Store.open(Path(sys.argv[1])); print('open', flush=True); sys.stdin.read()",
         str(path)],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert holder.stdout is not None
        assert holder.stdout.readline() == "open\n"
        with pytest.raises(Busy) as refusal:
            Store.open(path)
        sentence = Words().say(refusal.value.message)
        assert str(holder.pid) in sentence
        assert str(path) in sentence
    finally:
        holder.kill()
        holder.communicate()
    Store.open(path).close()  # the killed station no longer holds it


def test_a_second_station_in_one_program_is_refused_too(path: Path) -> None:
    with Store.open(path), pytest.raises(Busy):
        Store.open(path)


def test_a_log_that_could_not_be_opened_is_not_kept_locked(path: Path) -> None:
    path.write_text("line,size,name,number\n")
    for _ in range(2):
        with pytest.raises(NotALog):
            Store.open(path)


def test_a_reader_reads_while_a_station_writes(path: Path) -> None:
    with Store.open(path) as store, Store.read_only(path) as reader:
        store.append(beginning())
        with reader.reading():
            store.append([closed(5.0)])
            assert len(list(reader.events())) == 3
        with reader.reading():
            assert len(list(reader.events())) == 4


def test_a_reader_changes_nothing(path: Path) -> None:
    with Store.open(path) as store:
        store.append(beginning())
    before = path.read_bytes()
    with Store.read_only(path) as reader:
        assert reader.last == 3
        with pytest.raises(CannotRecord):
            reader.append([closed(5.0)])
    assert path.read_bytes() == before


def test_reading_a_missing_log_is_reported_and_creates_no_file(path: Path) -> None:
    with pytest.raises(CannotRecord) as refusal:
        Store.read_only(path)
    assert Words().say(refusal.value.message) == f"There is no record at {path}."
    assert not path.exists()


def test_a_station_refuses_a_simulations_log_and_the_reverse(path: Path) -> None:
    with Store.open(path, simulated=True) as store:
        store.append(beginning(simulated=True))
    with pytest.raises(WrongLog) as refusal:
        Store.open(path)
    assert "simulation" in Words().say(refusal.value.message)
    other = path.with_name("real.sqlite3")
    with Store.open(other) as store:
        store.append(beginning())
    with pytest.raises(WrongLog):
        Store.open(other, simulated=True)


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 something", b"x" * 8192])
def test_a_file_that_is_no_log_is_left_unchanged(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    if content:
        with pytest.raises(NotALog):
            Store.open(path)
        assert path.read_bytes() == content
    else:
        Store.open(path).close()  # an empty file is a log that was never begun


def test_a_foreign_database_is_left_unchanged(path: Path) -> None:
    foreign(path, "CREATE TABLE contacts (name TEXT)")
    before = path.read_bytes()
    with pytest.raises(NotALog):
        Store.open(path)
    assert path.read_bytes() == before


def test_a_log_of_a_newer_program_is_refused(path: Path) -> None:
    Store.open(path).close()
    foreign(path, "INSERT INTO migrations VALUES ('a later step', 9)")
    with pytest.raises(Newer) as refusal:
        Store.open(path)
    assert "a later step" in Words().say(refusal.value.message)


def test_an_event_of_a_newer_program_is_not_taken_for_damage(path: Path) -> None:
    with Store.open(path) as store:
        store.append(beginning())
    row = codec.encode(closed(5.0))._replace(version=2)
    with sqlite3.connect(path) as connection:
        connection.execute(
            "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, x'')", (4, *row, row.sum(4))
        )
    connection.close()
    with Store.open(path) as store, pytest.raises(Newer):
        list(store.events())


AT_WORK = """
import sys; sys.path.insert(0, sys.argv[2])
from pathlib import Path
from log_samples import at, beginning
from kiosk.log.store import Store
from kiosk.run.state import Held
store = Store.open(Path(sys.argv[1]))
store.append(beginning())
next(store.rows("PRAGMA wal_autocheckpoint = 7"))  # begins a new tail all the time
next(store.rows("PRAGMA synchronous = OFF"), None)
print("open", flush=True)
while True:
    store.append([Held(at(10.0), "phone")])
"""


def test_a_reader_never_mistakes_a_busy_log_for_a_damaged_one(path: Path) -> None:
    station = subprocess.Popen(
        [sys.executable, "-c", AT_WORK, str(path), str(Path(__file__).parent)],
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        assert station.stdout is not None
        assert station.stdout.readline() == "open\n"
        seen = []
        for _ in range(150):
            with Store.read_only(path) as reader:
                seen.append(reader.last)
        assert seen == sorted(seen)
        assert seen[-1] > seen[0]
    finally:
        station.kill()
        station.communicate()
