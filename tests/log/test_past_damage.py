"""A bad event costs only itself: reports and checks skip it and name it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from log_damage import mended, pages_of_events, spoil
from log_station import foreign, simulated, unguarded

from kiosk.log.facts import read_through
from kiosk.log.facts.derive import ready
from kiosk.log.facts.read import compared, facts
from kiosk.log.facts.shifts import job_start, shifts
from kiosk.log.rescue.mend import past_damage, without_bad
from kiosk.log.store.errors import Damaged
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state.events import Finished, TakenBack
from kiosk.station.desk.shift.report_data import report_of_shift
from kiosk.words import Words

EVERY_HARM = (
    "UPDATE events SET payload = replace(payload, ':', ';') WHERE seq = {seq}",  # no JSON
    "UPDATE events SET payload = CAST(x'ff7b7d' AS TEXT) WHERE seq = {seq}",  # no UTF-8
    "UPDATE events SET wall = wall + 60 WHERE seq = {seq}",  # a flipped bit
    "UPDATE events SET kind = 'closef' WHERE seq = {seq}",
    "UPDATE events SET payload = '' WHERE seq = {seq}",
)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("whole") / "station.sqlite3"
    simulated(path, 10, seed=2)
    return path


def last(path: Path) -> int:
    with Store.read_only(path) as store:
        return store.last


@pytest.mark.parametrize("harm", EVERY_HARM)
def test_a_report_skips_and_names_a_bad_event_anywhere(whole: Path, harm: str) -> None:
    """Every event of a log is damaged once, each in its own copy."""
    for seq in range(1 + EVERY_HARM.index(harm), last(whole) + 1, len(EVERY_HARM)):
        path = whole.with_name(f"spoilt-{seq}.sqlite3")
        shutil.copy(whole, path)
        unguarded(path, harm.format(seq=seq))
        with past_damage(path) as store:
            assert store.lost == (seq,)
            report = report_of_shift(store)
        if report is not None:  # the only sign-on may be the lost event
            said = " ".join(Words().say(each) for each in report.record)
            assert (
                f"Event {seq} of {path.stem} cannot be read" in said
                or f"1 event of {path.stem} outside these shifts cannot be read" in said
            )
        path.unlink()


def test_a_changed_figure_is_never_counted(path: Path) -> None:
    """The JSON is valid but not as written: its checksum is checked before it is counted."""
    unguarded(path, "UPDATE events SET clock = clock - 5 WHERE kind = 'closed' AND seq > 20")
    with Store.read_only(path) as store, store.reading():
        ready(store)
        for tells in (facts, compared):  # the day before is only compared, but has to be whole too
            with pytest.raises(Damaged):
                read_through(tells(store, shifts(store)))


def test_figures_of_the_day_before_equal_its_facts(path: Path) -> None:
    with Store.read_only(path) as store, store.reading():
        ready(store)
        whole, some = (
            read_through(facts(store, shifts(store))),
            read_through(compared(store, shifts(store))),
        )
    for name in ("station", "shifts", "stints", "jobs", "garments", "cycles"):
        assert getattr(some, name) == getattr(whole, name) != ()
    results = [each for each in whole.noted if isinstance(each.event, Finished | TakenBack)]
    assert list(some.noted) == results != []
    assert len(results) < len(list(whole.noted))
    assert not any((some.moves, some.peels, some.samples))  # nothing that is not compared


@pytest.mark.parametrize(
    "harm",
    [
        "kind = 'held'", "version = version + 1", "boot = boot || 'x'", "clock = clock + 1e-9",
        "wall = wall + 1e-6", "payload = replace(payload, '1', '2')", "sum = sum + 1",
    ],
)  # fmt: skip
def test_a_change_in_any_column_breaks_the_seal_of_its_stint(path: Path, harm: str) -> None:
    with Store.read_only(path) as store, store.reading():
        read_through(facts(store, shifts(store)))
        at = shifts(store)[0].last - 3
    unguarded(path, f"UPDATE events SET {harm} WHERE seq = {at}")
    with Store.read_only(path) as store, store.reading(), pytest.raises(Damaged) as told:
        read_through(facts(store, shifts(store)))
    assert told.value.message.values["seq"] == at


@pytest.mark.parametrize("harm", ["texts = texts + 1", "numbers = 0"])
def test_a_wrong_seal_costs_time_but_no_report(path: Path, harm: str) -> None:
    """Each event is then verified by its own checksum."""

    def read(asked: list[str]) -> object:
        with Store.read_only(path) as store, store.reading():
            store._connection.set_trace_callback(asked.append)
            return read_through(facts(store, shifts(store))).garments

    by_seal: list[str] = []
    by_row: list[str] = []
    as_it_was = read(by_seal)
    foreign(path, f"UPDATE tally SET {harm} WHERE stint > 0")
    assert read(by_row) == as_it_was
    whole = [sum(f"payload, sum FROM events\nWHERE seq BETWEEN {at}" in each for each in asked)
             for asked in (by_seal, by_row) for at in (first_of(path),)]  # fmt: skip
    assert whole == [0, 1]
    assert [fault.id for fault in verify(path).faults] == ["log.fault.facts"]


def first_of(path: Path) -> int:
    with Store.read_only(path) as store:
        return shifts(store)[0].first


def test_a_start_record_is_verified_although_the_facts_repeat_it(path: Path) -> None:
    with Store.read_only(path) as store:
        (job, seq), *_ = store.rows("SELECT job, seq FROM job")
        as_it_was = job_start(store, job)
    foreign(path, "UPDATE job SET begun = '{}'")
    with Store.read_only(path) as store:
        assert job_start(store, job) == as_it_was is not None  # read from the event itself
    unguarded(path, f"UPDATE events SET wall = wall + 1 WHERE seq = {seq}")
    with Store.read_only(path) as store, pytest.raises(Damaged):
        job_start(store, job)


def test_verify_names_every_bad_event_and_counts_the_others(path: Path) -> None:
    count = last(path)
    unguarded(path, "UPDATE events SET payload = '{}' WHERE seq IN (5, 6, 30)")
    verdict = verify(path)
    assert verdict.bad == (5, 6, 30)
    assert verdict.events == count - 3
    assert verdict.last == count
    said = " ".join(Words().say(fault) for fault in verdict.faults)
    assert all(f"Event {seq} of" in said for seq in verdict.bad)


def test_a_thousand_bad_events_do_not_fill_the_screen(path: Path) -> None:
    unguarded(path, "UPDATE events SET payload = '{}' WHERE seq > 10")
    verdict = verify(path)
    assert len(verdict.bad) == last(path) - 10
    assert len(verdict.faults) < 30


def test_intact_pages_are_reported_when_sqlite_gives_up(path: Path) -> None:
    count = last(path)
    hit = pages_of_events(path)[1]
    spoil(path, hit * 4096, 300)
    verdict = verify(path)
    assert not verdict.ok
    assert 0 < verdict.events < count
    with past_damage(path) as store:
        assert len(store.lost) == count - verdict.events
        report = report_of_shift(store)
    assert report is not None
    said = [Words().say(each) for each in report.record]
    assert any(str(store.lost[0]) in each for each in said)
    assert not any("Record code" in each for each in said)  # the remaining part has none


def test_the_station_reports_its_own_shift_past_a_bad_event(path: Path) -> None:
    unguarded(path, "UPDATE events SET payload = '{' WHERE seq = 30")
    with Store.open(path, simulated=True) as store:
        with pytest.raises(Damaged):
            report_of_shift(store)
        with without_bad(path) as reader:
            report = report_of_shift(reader)
        assert report is not None
        assert "Event 30 of" in " ".join(Words().say(each) for each in report.record)
        store.append([event for _, event in store.events(1, 1)])  # the log still works


def test_nothing_is_left_out_of_an_undamaged_log(path: Path) -> None:
    with past_damage(path) as store:
        assert store.lost == ()


def test_a_damaged_letter_in_the_schema_is_damage_like_any_other(path: Path) -> None:
    """SQLite's error quotes the letter as it is in the file, and Python cannot decode that."""
    whole = last(path)
    content = path.read_bytes()
    sound = b"events_are_never_changed BEFORE UPDATE"
    assert content.count(sound) == 1
    path.write_bytes(content.replace(sound, b"events_are_never_changed BEFORE \xf8PDATE"))
    for opened in (Store.read_only, Store.unexamined, Store.open):
        with pytest.raises(Damaged) as fault:
            opened(path)
        assert "malformed database schema" in str(fault.value.message.values["found"])
    with past_damage(path) as store:
        assert store.last == whole
    recorder, mending = mended(path)
    assert mending.kept == whole
    recorder.store.close()
