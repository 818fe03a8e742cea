"""A garment that goes through fewer passes counts as a whole garment in record and facts."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest
from log_samples import at, garments, plan, step
from log_station import Station, foreign, unsynced

from kiosk.catalog.model.sheets import Peel
from kiosk.log.facts.garments import counted
from kiosk.log.facts.shifts import job_start, rows_of_jobs
from kiosk.log.facts.tables import TABLES
from kiosk.log.record.recorder import Recorder
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Plan
from kiosk.run.state import commands as c
from kiosk.run.state.events import JobDone, JobStarted
from kiosk.run.state.model import ConfirmMode, Garment, TicketStage
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

JOB = "ferry-order"


def two_sides() -> Plan:
    """Return a plan with name and number on the back, and a number alone on the front."""
    hot = PeelWait(Peel.HOT, 0.0, 10.0, "made up")
    front = (
        step(Phase.LOAD),
        step(Phase.LAY, "number.1"),
        step(Phase.FINAL, "number.1", seconds=12),
        step(Phase.PEEL, "number.1", peel=Peel.HOT),
        step(Phase.INSPECT),
    )
    both = (*plan().passes, Pass("front", 0, front, PeelPlace.PRESS, hot, ("number.1",)))
    return replace(plan(), passes=both, runs=((0,), (1,)))


def some(count: int) -> tuple[Garment, ...]:
    """Return garments of which every third has no number."""
    bare = {"3", "6", "9"}
    return tuple(
        replace(g, number="", lacks=("number",)) if g.line in bare else g for g in garments(count)
    )


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """A log in which nine garments were pressed, with typical human errors."""
    path = tmp_path / "station.sqlite3"
    recorder = Recorder(unsynced(Store.open(path, simulated=True)))
    made = simulate(recorder, SimulatedOrder(JOB, two_sides(), "hash", some(9)), seed=3)
    recorder.close()
    assert made >= 9
    return path


def test_a_job_with_fewer_passes_ends_and_counts_each_garment_once(log: Path) -> None:
    with Store.read_only(log) as store:
        events = [each.event for each in store.events()]
        rows = list(rows_of_jobs(store, [JOB]))
        found = list(counted(store, (), [JOB]))
    assert sum(isinstance(event, JobDone) for event in events) == 1
    fronts = {row.line for row in rows if row.passage == 1}
    assert fronts == {"1", "2", "4", "5", "7", "8"}
    done = {TicketStage.GOOD.value, TicketStage.ACCEPTED.value}
    latest = [each for each in found if each.latest and each.result in done]
    assert sum(each.many for each in latest) == 9
    through = dict.fromkeys(((0, 1), (0,)), 0)
    for each in latest:
        through[each.passes] += each.many
    assert through == {(0, 1): 6, (0,): 3}


def test_facts_derived_again_are_the_same(log: Path) -> None:
    def told() -> dict[str, list[object]]:
        with Store.read_only(log) as store:
            return {t: list(store.rows(f"SELECT * FROM main.{t} ORDER BY 1, 2")) for t in TABLES}

    assert verify(log).ok
    before = told()
    foreign(log, "UPDATE mark SET version = 0")
    Recorder(Store.open(log, simulated=True)).store.close()
    assert told() == before


def test_lacking_texts_are_read_from_the_facts_or_the_start_record(log: Path) -> None:
    """A server has only the record."""
    lacking = (("3", ("number",)), ("6", ("number",)), ("9", ("number",)))
    for _ in range(2):
        with Store.read_only(log) as store:
            told = job_start(store, JOB)
            assert told is not None
            assert told.lacks == lacking
        foreign(log, "UPDATE job SET begun = '{}'")


def test_an_old_start_record_means_every_garment_took_every_pass() -> None:
    """In an older record a garment without a number went through every pass."""
    row = codec.encode(JobStarted(at(1.0), JOB, two_sides(), "hash", some(3)))
    payload = json.loads(row.payload)
    for each in payload["garments"]:
        del each["lacks"]
    old = codec.decode(row._replace(payload=json.dumps(payload)))
    assert isinstance(old, JobStarted)
    assert [g.lacks for g in old.garments] == [(), (), ()]
    assert codec.decode(row) == JobStarted(at(1.0), JOB, two_sides(), "hash", some(3))


def test_a_changed_row_survives_a_restart(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.do(c.Start("0.1.0"))
    station.do(c.SignOn("QV", ConfirmMode.GROUPED))
    station.do(c.StartJob(JOB, two_sides(), "hash", some(3)))
    station.do(c.RowChanged("3", "new", ()))
    job = station.recorder.state.job
    assert job is not None
    assert job.aside == ("3/1/1", "3/2/1")
    assert job.tickets["3/2/1"].garment.digest == "new"
    killed = station.as_killed()
    station.recorder.close()
    again = Recorder(Store.open(killed))
    assert again.state.job == job
    rows = {row.ticket: row.stage for row in rows_of_jobs(again.store, [JOB])}
    assert rows["3/2/1"] is TicketStage.STOPPED
    again.close()
    assert verify(killed).ok
