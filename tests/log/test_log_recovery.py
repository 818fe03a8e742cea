"""From the log to the state: the last checkpoint and the tail, however long the log is."""

from __future__ import annotations

import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from log_samples import at, beginning
from log_station import foreign, simulated, unsynced

from kiosk.log.facts import fold, statements
from kiosk.log.record import recovery
from kiosk.log.record.recorder import Recorder
from kiosk.log.store import codec
from kiosk.log.store import soundness as examine
from kiosk.log.store.errors import Damaged
from kiosk.log.store.store import Store
from kiosk.run.apply.fold import apply, replay
from kiosk.run.state.events_station import Held, Restarted
from kiosk.run.state.state import State


@pytest.fixture(scope="module")
def shift(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A log with slips, holds, rework and a scrap in it, handed over."""
    path = tmp_path_factory.mktemp("shift") / "station.sqlite3"
    simulated(path, 40, seed=3)
    return path


def test_checkpoint_and_tail_give_the_same_state_as_a_full_replay(
    shift: Path, tmp_path: Path
) -> None:
    with Store.read_only(shift) as store:
        events = [event for _, event in store.events()]
    with unsynced(Store.open(tmp_path / "again.sqlite3", simulated=True)) as store:
        states, state = [], State()
        for event in events:
            store.append([event])
            state = apply(state, event)
            states.append(state)
        assert recovery.recover(store).since == 0
        for seq in range(1, len(events), 17):
            store.head = store.head._replace(seq=seq)
            recovery.save_checkpoint(store, states[seq - 1])
            store.refresh()
            found = recovery.recover(store)
            assert (found.since, found.state) == (seq, states[-1])


def test_a_full_replay_gives_the_recovered_state(shift: Path) -> None:
    with Store.read_only(shift) as store:
        assert replay(event for _, event in store.events()) == recovery.recover(store).state


@pytest.fixture
def copy(shift: Path, tmp_path: Path) -> Path:
    shutil.copy(shift, tmp_path)
    return tmp_path / shift.name


def stored_by_another_program(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Store.open(path, simulated=True) as store, monkeypatch.context() as patch:
        patch.setattr(recovery, "code_version", lambda: "another program")
        recovery.save_checkpoint(store, replace(State(), operator="XX"))


def test_another_programs_checkpoint_is_not_used(
    copy: Path, shift: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored_by_another_program(copy, monkeypatch)
    with Store.read_only(copy) as store:
        found = recovery.recover(store)
    assert found.since == 0
    with Store.read_only(shift) as store:
        assert found.state == recovery.recover(store).state


def test_a_checkpoint_of_missing_events_means_damage(copy: Path) -> None:
    foreign(copy, "DROP TRIGGER events_are_never_deleted")
    foreign(copy, "DELETE FROM events WHERE seq > 20")
    with Store.read_only(copy) as store, pytest.raises(Damaged):
        recovery.recover(store)


@pytest.mark.parametrize(
    "change", ["state = replace(state, 'QV', 'XX')", "state = '{}'", "seq = seq - 1", "sum = ''"]
)
def test_a_changed_checkpoint_is_not_used(copy: Path, change: str) -> None:
    foreign(copy, f"UPDATE checkpoint SET {change}")
    with Store.read_only(copy) as store:
        assert recovery.recover(store).since == 0


def test_a_start_after_a_long_tail_stores_a_checkpoint(tmp_path: Path) -> None:
    path = tmp_path / "tail.sqlite3"
    with unsynced(Store.open(path)) as store:
        store.append(beginning())
        for n in range(400):
            store.append([Held(at(10.0 + n), "phone"), Restarted(at(10.5 + n))])
        Recorder(store)
        stored = store.checkpoint()
        assert stored is not None
        assert stored.seq == store.last


class Counted(sqlite3.Connection):
    """A connection that counts the steps of SQLite's virtual machine, in hundreds."""

    steps = 0

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.set_progress_handler(self._count, 100)

    @classmethod
    def _count(cls) -> int:
        Counted.steps += 1
        return 0


def long_log(path: Path, events: int) -> None:
    """Write a log with that many events and a checkpoint at its end."""
    hold = codec.encode(Held(at(10.0), "phone"))
    with unsynced(Store.open(path)) as store:
        store.append(beginning())
        with store.writing() as written:
            written.executemany(
                "INSERT INTO events VALUES (?, ?, ?, ?, ?, ?, ?, ?, x'')",
                ((seq, *hold, hold.sum(seq)) for seq in range(4, events + 1)),
            )
        store.refresh()
        recovery.save_checkpoint(store, fold(State(), store.entries(last=4)))
        store.execute(statements("main"))
        store.execute([("INSERT INTO tally VALUES (0, 'held', 1, 0, 0, ?, 0, 0, 0)", (events,))])


def steps_to_start(path: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    connect = sqlite3.connect
    with monkeypatch.context() as patch:
        patch.setattr(sqlite3, "connect", lambda *a, **k: connect(*a, **k, factory=Counted))
        Counted.steps = 0
        with Store.open(path) as store:
            assert recovery.recover(store).replayed == 0
        return Counted.steps


def test_a_start_reads_no_more_after_two_hundred_thousand_events(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Work is counted in steps of SQLite's virtual machine, which are the same on any computer."""
    monkeypatch.setattr(examine, "CHECKED_BYTES", 0)  # switches off the check that depends on size
    short, long = tmp_path / "short.sqlite3", tmp_path / "long.sqlite3"
    long_log(short, 10)
    long_log(long, 200_000)
    few, many = (steps_to_start(path, monkeypatch) for path in (short, long))
    assert many <= few + 1  # one count is a hundred steps of the virtual machine
