"""Logs of earlier releases still give the same results as then."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from all_tickets import ticket_rows
from log_station import signed_on

from kiosk.log.facts import facts_mark, shifts
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.log.verify import verify

GOLDEN = sorted((Path(__file__).parent / "golden").glob("*.sqlite3"))


def test_there_is_a_golden_log() -> None:
    assert GOLDEN


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda path: path.stem)
def test_a_golden_log_still_gives_the_same_results(golden: Path, tmp_path: Path) -> None:
    path = tmp_path / golden.name
    shutil.copy(golden, path)
    comes_to = json.loads(golden.with_suffix(".json").read_text("utf-8"))
    recorder = Recorder(Store.open(path, simulated=True))  # as a current station opens it
    recorder.close()
    verdict = verify(path)
    assert (verdict.ok, verdict.last, verdict.pressed_twice) == (True, comes_to["events"], 0)
    with Store.read_only(path) as store:
        assert facts_mark(store) is not None
        assert {row.ticket: row.stage.value for row in ticket_rows(store)} == comes_to["tickets"]
        assert signed_on(store) == comes_to["operators"]
        with store.reading():
            assert len(shifts(store)) == len(comes_to["operators"])
