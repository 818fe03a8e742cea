"""Events of the practice room are on disk as they happen and do not change a station's state."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from log_station import TRIGGER, foreign

from kiosk.log.record.recorder import Recorder
from kiosk.log.store import codec
from kiosk.log.store.store import Store
from kiosk.run.state import commands as c
from kiosk.run.state import events_station as p
from kiosk.run.state.event import Now

AT = Now("boot", 5.0, 1_800_000_000.0)
EVERY = (
    p.StepPractised(AT, "TR", "two-layer", "tack 2", 3, right=False),
    p.StepPractised(AT, "TR", "two-layer", "tack 2", 4, right=True, reason=True),
    p.SlipShown(AT, "TR", ("one-piece", "staged-peel"), "six nine", caught=True),
    p.GarmentPractised(AT, "TR", ("two-layer",), 81.5, own=True, clean=True),
    p.QuizAnswered(AT, "TR", "both", True, ("one-piece",)),
    p.SignOffAsked(AT, "TR", "two-layer"),
)


def open_record(path: Path) -> Recorder:
    recorder = Recorder(Store.open(path, simulated=True))
    recorder.do(c.Start("1.0", simulated=True), AT)
    return recorder


def test_every_practice_event_survives_a_round_trip() -> None:
    assert [codec.decode(codec.encode(event)) for event in EVERY] == list(EVERY)
    assert {type(event) for event in EVERY} <= set(codec.KINDS.values())


def test_noted_events_are_on_disk_and_change_only_the_last_moment(tmp_path: Path) -> None:
    recorder = open_record(tmp_path / "practice")
    before = recorder.state
    recorder.note(*EVERY)
    with Store.read_only(tmp_path / "practice") as reader:
        assert [each.event for each in reader.events()][-len(EVERY) :] == list(EVERY)
    assert recorder.state == replace(before, last=AT)
    recorder.close()


def test_unwritten_events_wait_in_order(tmp_path: Path) -> None:
    path = tmp_path / "practice"
    recorder = open_record(path)
    foreign(path, TRIGGER)
    recorder.note(EVERY[0])
    recorder.note(EVERY[1])
    assert recorder.unrecorded == 2
    foreign(path, "DROP TRIGGER full")
    recorder.note(EVERY[2])
    assert recorder.unrecorded == 0
    with Store.read_only(path) as reader:
        assert [each.event for each in reader.events()][-3:] == list(EVERY[:3])
    recorder.close()
