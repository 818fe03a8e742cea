"""A last peel is a fact, whether its tap ends the garment or is one of several."""

from __future__ import annotations

from pathlib import Path

import pytest
from log_samples import garments, plan
from log_station import Station

from kiosk.plan.model import PeelPlace
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode


def pressed(path: Path, confirm: ConfirmMode) -> Station:
    """Return a station with one garment done in this confirm mode, peeled 25 s after opening."""
    station = Station(path)
    station.do(c.Start("0.1.0"))
    station.do(c.SignOn("QV", confirm))
    station.do(c.StartJob("ferry-order", plan(PeelPlace.HAND), "hash", garments(1)))
    station.do(c.Tick())
    station.do(c.ReadSetting(300))
    station.press_to_rack()
    station.forward(25.0)
    return station


def peels(station: Station) -> list[tuple[object, ...]]:
    return list(station.recorder.store.rows("SELECT ticket, waited, early FROM main.peel"))


@pytest.mark.parametrize("confirm", list(ConfirmMode))
def test_a_peel_is_stored_once_in_each_confirm_mode(confirm: ConfirmMode, tmp_path: Path) -> None:
    station = pressed(tmp_path / "north.sqlite3", confirm)
    if confirm is ConfirmMode.EACH:
        station.forward(5.0)  # inspected
    job = station.recorder.state.job
    assert job is not None
    assert peels(station) == [("1/1/1", 25.0, None)]
    station.recorder.close()


def test_taking_back_a_peel_deletes_it_and_taking_back_a_result_keeps_it(tmp_path: Path) -> None:
    station = pressed(tmp_path / "north.sqlite3", ConfirmMode.EACH)
    station.forward(5.0)
    station.do(c.Back())
    assert peels(station) == [("1/1/1", 25.0, None)]
    station.do(c.Back())
    assert peels(station) == []
    station.recorder.close()
