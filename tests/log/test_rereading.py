"""After an update a station starts from its stored state and rereads the record as it works."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from log_station import foreign, order, unguarded, unsynced

from kiosk.log.facts import facts_mark, statements
from kiosk.log.facts.tables import TABLES
from kiosk.log.record import recovery
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.errors import Damaged
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.state import State
from kiosk.train.made_up_operator.operator import simulate

AT_ONCE = 50


@pytest.fixture
def older(whole: Path, tmp_path: Path) -> Path:
    """The same record as an older program leaves it: its checkpoint, its facts."""
    path = tmp_path / whole.name
    shutil.copy(whole, path)
    with Store.open(path, simulated=True) as store:
        recovery.save_checkpoint(store, Recorder(store).state, lifted=True)
    foreign(path, "UPDATE mark SET version = 0")
    foreign(path, "DELETE FROM peel")
    return path


def opened(path: Path) -> Recorder:
    return Recorder(unsynced(Store.open(path, simulated=True)), at_once=AT_ONCE)


def content(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with Store.read_only(path) as store:
        return {name: list(store.rows(f"SELECT * FROM main.{name} ORDER BY 1, 2"))
                for name in TABLES}  # fmt: skip


def read_all(recorder: Recorder) -> None:
    while recorder.rereading is not None:
        recorder.read_on()


def test_a_station_starts_from_its_stored_state_and_derives_facts_in_pieces(
    older: Path, whole: Path
) -> None:
    with Store.read_only(whole) as store:
        as_it_was = recovery.recover(store).state
    recorder = opened(older)
    assert recorder.rereading is not None
    assert recorder.state == as_it_was != State()
    shares = []
    while recorder.rereading is not None:
        shares.append(recorder.rereading.percent)
        recorder.read_on()
    assert shares[0] == 0
    assert shares == sorted(shares)
    assert len(set(shares)) > 3
    assert recorder.state == as_it_was
    recorder.store.close()
    assert verify(older).ok
    assert content(older) == content(whole)


def test_facts_of_garments_pressed_during_rereading_are_derived_too(older: Path) -> None:
    """Also if the program ends during it and is started again."""
    recorder = opened(older)
    before = recorder.last
    simulate(recorder, order(5), 1, 5, lambda seq: recorder.read_on() if seq % 3 == 0 else None)
    assert recorder.last > before + 30
    recorder = again(recorder, older)
    mark = facts_mark(recorder.store)
    assert mark is None or mark.seq < recorder.last
    for _ in range(len(list(statements("main"))) + 2):
        recorder.read_on()
    recorder = again(recorder, older)
    mark = facts_mark(recorder.store)
    assert mark is not None  # it continues where it was
    assert 0 < mark.seq < recorder.last
    read_all(recorder)
    after = recorder.last
    simulate(recorder, order(3), 2, 3)
    assert recorder.last > after
    recorder.close()
    assert verify(older).ok
    recorder = opened(older)
    assert recorder.rereading is None
    recorder.close()


def again(recorder: Recorder, path: Path) -> Recorder:
    recorder.close()
    return opened(path)


def test_a_wrong_stored_state_is_corrected_from_the_record(whole: Path, tmp_path: Path) -> None:
    path = tmp_path / whole.name
    shutil.copy(whole, path)
    with Store.open(path, simulated=True) as store:
        wrong = State(operator="XX", shift=9)
        recovery.save_checkpoint(store, wrong, lifted=True)
    recorder = opened(path)
    assert recorder.state.operator == "XX"
    read_all(recorder)
    with Store.read_only(whole) as store:
        assert recorder.state == recovery.recover(store).state
    recorder.store.close()
    assert verify(path).ok


def test_a_bad_event_ends_the_rereading_but_not_the_work(older: Path) -> None:
    unguarded(older, "UPDATE events SET payload = '{' WHERE seq = 20")
    recorder = opened(older)
    with pytest.raises(Damaged):
        read_all(recorder)
    assert recorder.rereading is None
    assert simulate(recorder, order(2), 1, 2) == 2
    recorder.store.close()


def test_a_short_record_is_read_at_once(older: Path, whole: Path) -> None:
    recorder = Recorder(Store.open(older, simulated=True), at_once=2_000)
    assert recorder.rereading is None
    recorder.store.close()
    assert content(older) == content(whole)
