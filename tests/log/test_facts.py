"""Facts: written with their events, completed at a start, derived for readers, verified."""

from __future__ import annotations

import hashlib
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from log_station import Station, foreign, order, simulated, unsynced

from kiosk.log.facts import Statement, facts_mark, fold, ready, shifts, statements
from kiosk.log.facts.derive import FactDeriver
from kiosk.log.facts.tables import TABLES, VERSION
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage
from kiosk.run.state.state import State
from kiosk.train.made_up_operator.operator import simulate

GOLDEN = Path(__file__).parent / "golden" / "0.1.0.sqlite3"


@pytest.fixture
def station(tmp_path: Path) -> Iterator[Station]:
    made = Station(tmp_path / "north.sqlite3")
    yield made
    made.recorder.close()


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with Store.read_only(path) as store:
        return {name: list(store.rows(f"SELECT * FROM main.{name} ORDER BY 1, 2"))
                for name in TABLES}  # fmt: skip


def test_facts_are_written_in_the_transaction_of_their_event(tmp_path: Path) -> None:
    """Another connection, which sees only committed rows, finds event and fact after each tap."""
    path = tmp_path / "acks.sqlite3"
    recorder = Recorder(unsynced(Store.open(path, simulated=True)))
    other, found = sqlite3.connect(path), []

    def look(seq: int) -> None:
        found.append((seq, *next(other.execute("SELECT max(last) FROM tally"))))

    simulate(recorder, order(5), 1, None, look)
    assert len(found) > 40
    assert all(seq <= told for seq, told in found)
    assert found[-1][0] == found[-1][1] == recorder.last
    other.close()
    recorder.close()


def test_facts_derived_tap_by_tap_equal_those_of_a_fresh_fold(tmp_path: Path) -> None:
    log = tmp_path / "steps.sqlite3"
    for seed in range(3):
        simulated(log, 12, seed)
    assert verify(log).ok
    step_by_step = content(log)
    foreign(log, "UPDATE mark SET version = 0")
    Recorder(Store.open(log, simulated=True)).store.close()
    assert content(log) == step_by_step
    assert all(step_by_step[name] for name in ("closing", "hands", "peel", "garment", "noted"))


def test_facts_of_an_older_version_are_derived_again_with_progress(path: Path) -> None:
    as_it_was = content(path)
    for harm in (
        "UPDATE mark SET version = 0",
        "DELETE FROM closing",
        "UPDATE garment SET line = 9",
    ):
        foreign(path, harm)
    told: list[tuple[int, int]] = []
    with Store.open(path, simulated=True) as store:
        Recorder(store, lambda done, of: told.append((done, of)))
        last = store.last
    assert told == [(0, last), (last, last)]
    assert content(path) == as_it_was


def test_lagging_facts_continue_where_they_stopped(path: Path, whole: Path) -> None:
    """After a run without facts, or a kill in between, no fact is derived twice."""
    with Store.read_only(whole) as store:
        events = [event for _, event in store.events()]
    half = path.with_name("half.sqlite3")
    with Store.open(half, simulated=True) as store:
        store.append(events[:100])
        Recorder(store)
        store.append(events[100:])
        mark = facts_mark(store)
        assert mark is not None
        assert mark.seq == 100
        Recorder(store)
        assert facts_mark(store) != mark
    assert content(half) == content(whole)


def test_a_reader_derives_lagging_facts_outside_the_file(path: Path, whole: Path) -> None:
    before = path.read_bytes()
    foreign(path, "UPDATE mark SET version = 0")
    foreign(path, "DELETE FROM shift")
    with Store.read_only(path) as store, store.reading():
        ready(store)
        found = shifts(store)
    with Store.read_only(whole) as store, store.reading():
        ready(store)
        assert shifts(store) == found != ()
    assert len(path.read_bytes()) == len(before)


@pytest.mark.parametrize(
    "harm",
    [
        "DROP TABLE closing",
        "CREATE TRIGGER no BEFORE INSERT ON tally BEGIN SELECT RAISE(ABORT, 'no'); END",
        "CREATE TRIGGER no BEFORE UPDATE ON tally BEGIN SELECT RAISE(ABORT, 'no'); END",
    ],
)
def test_facts_that_cannot_be_written_cost_no_event(station: Station, harm: str) -> None:
    station.begin()
    foreign(station.path, harm)
    before = station.recorder.last
    assert station.do(c.PutOnHold("phone"), after=3.0).recorded
    assert station.forward(after=60.0).recorded
    assert station.recorder.last > before
    assert station.recorder.fault is None
    station.recorder.store.close()
    foreign(station.path, "DROP TRIGGER IF EXISTS no")
    Recorder(Store.open(station.path)).store.close()
    assert verify(station.path).ok


def test_rulings_settings_and_closings_are_facts(station: Station) -> None:
    station.begin()
    station.press_to_rack()
    station.do(c.Inspect("1/1/1", TicketStage.REWORK, "lifted_edge", "peeled_early"), after=30.0)
    station.do(c.AllowRepress("1/1/1", "WX", "edge lifted"))
    rows = station.recorder.store.rows
    assert list(rows("SELECT ticket, what, who, why FROM ruling")) == [
        ("1/1/1", "repress-allowed", "WX", "edge lifted")
    ]
    ((shown, asked, fits),) = rows("SELECT shown, asked, fits FROM setting")
    assert (shown, fits) == (asked, 1)
    assert next(rows("SELECT line, passage, copy, phase FROM closing WHERE ticket = '1/1/1'")) == (
        "1", 0, 1, "pre-press",
    )  # fmt: skip


def test_facts_of_the_golden_log_match_this_version(tmp_path: Path) -> None:
    """If this fails: raise VERSION, so that shops' facts are derived again, and update the sum."""
    copy = tmp_path / GOLDEN.name
    shutil.copy(GOLDEN, copy)
    with closing(sqlite3.connect(":memory:")) as made, Store.open(copy, simulated=True) as store:
        for op in statements("main"):
            made.execute(*op)

        def put_down(ops: list[Statement]) -> None:
            for op in ops:
                made.execute(*op)

        fold(State(), store.entries(), FactDeriver(), put_down)
        digest = hashlib.sha256()
        for name in TABLES:
            digest.update(repr(list(made.execute(f"SELECT * FROM {name} ORDER BY 1, 2"))).encode())
    assert (VERSION, digest.hexdigest()[:16]) == (10, "9eced00e531919e6")
