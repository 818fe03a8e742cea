"""A station on a mended log: open tickets are of unknown outcome until a person has looked."""

from __future__ import annotations

from pathlib import Path

import pytest
from log_damage import LATER, spoil
from log_samples import at
from log_station import Station

from kiosk.log.record.recorder import start
from kiosk.log.store import files
from kiosk.log.store.errors import Damaged
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.model import ENDED, ConfirmMode, TicketStage
from kiosk.words import Words


def damaged_station(tmp_path: Path) -> Path:
    """Two on the rack, one good, one scrap, others waiting; then the first page is damaged."""
    station = Station(tmp_path / "station.sqlite3")
    station.begin(count=6)
    for _ in range(4):
        station.press_to_rack()
    station.do(c.Inspect("1/1/1", TicketStage.GOOD), after=60.0)
    station.do(c.Inspect("2/1/1", TicketStage.SCRAP, "scorch", "over_run"))
    station.recorder.close()
    spoil(station.path, 0, 200)
    return station.path


def test_open_tickets_become_unknown_and_ended_ones_keep_their_result(tmp_path: Path) -> None:
    recorder, _ = start(damaged_station(tmp_path), LATER)
    job = recorder.state.jobs["ferry-order"]
    ended = {t.id: t.stage for t in job.tickets.values() if t.stage in ENDED}
    assert ended == {"1/1/1": TicketStage.GOOD, "2/1/1": TicketStage.SCRAP}
    open_ones = [t for t in job.tickets.values() if t.stage not in ENDED]
    assert {t.stage for t in open_ones} == {TicketStage.UNKNOWN}
    assert sorted(job.aside) == sorted(t.id for t in open_ones)
    assert (job.slot, job.queue, job.rack) == ("", (), ())
    recorder.store.close()


def test_no_garment_is_called_until_a_supervisor_has_marked_one(tmp_path: Path) -> None:
    recorder, _ = start(damaged_station(tmp_path), LATER)
    now = at(LATER.clock + 10.0)
    recorder.do(c.Start("0.1.0"), now)
    assert recorder.state.open_first
    recorder.do(c.SayOpened(), now)
    recorder.do(c.SignOn("QV", ConfirmMode.GROUPED), now)
    recorder.do(c.Tick(), now)
    job = recorder.state.job
    assert job is not None
    assert job.slot == ""
    pressed = recorder.do(c.RuleOnTicket("3/1/1", TicketStage.WAITING, "WX", "not pressed"), now)
    assert pressed.refusal is not None  # its final had begun: never a second one on a guess
    marked = recorder.do(c.RuleOnTicket("5/1/1", TicketStage.WAITING, "WX", "not pressed"), now)
    assert marked.refusal is None
    recorder.do(c.Tick(), now)
    job = recorder.state.job
    assert job is not None
    assert job.slot == "5/1/1"
    recorder.store.close()


def test_a_mending_is_reported_in_words(tmp_path: Path) -> None:
    path = damaged_station(tmp_path)
    with pytest.raises(Damaged) as damage:
        Store.open(path)
    assert str(path) in Words().say(damage.value.message)
    recorder, mending = start(path, LATER)
    assert mending is not None
    sentence = Words().say(mending.message)
    assert str(mending.aside) in sentence
    assert str(mending.kept) in sentence
    recorder.store.close()


def test_two_mendings_within_a_second_get_separate_folders(tmp_path: Path) -> None:
    path = damaged_station(tmp_path)
    folders = set()
    for _ in range(2):
        recorder, mending = start(path, LATER)
        assert mending is not None
        folders.add(mending.aside)
        recorder.close()
        spoil(path, 0, 200)
    assert len(folders) == 2


def test_a_mending_killed_before_anything_moved_is_done_again(tmp_path: Path) -> None:
    path = damaged_station(tmp_path)
    files.new_log(path).write_bytes(b"half a log")
    recorder, mending = start(path, LATER)
    assert mending is not None
    recorder.close()
    assert verify(path).ok
