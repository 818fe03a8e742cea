"""A job's set-up page with a question about its roster, on the smallest screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_audit import clipped, height_kept, too_small
from station_driver import Person, lay_out
from station_harness import Bench

JOB, TITLE = "raft-polo", "Orsavel raft polo"
# Share of the letters' height. Without a question this page keeps what every page of the shift
# keeps on 7 inches (0.79, in Spanish 0.73: tests/station/test_every_page.py); the key costs one
# step more.
KEPT = {"en": 0.76, "es": 0.7}


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_question_fits_a_glove_and_the_words_keep_their_height(
    bench: Bench, tmp_path: Path, language: str
) -> None:
    """15 mm for a glove, and letters by their distance: as in tests/station/test_every_page.py."""
    lay_out(tmp_path, JOB)
    roster = tmp_path / "jobs" / JOB / "roster.csv"
    roster.write_text(roster.read_text("utf-8").replace(",AXS,", ",Toddler S,", 1), "utf-8")
    bench.resize(1024, 600)
    person = Person(bench, tmp_path, inches=7.0)
    person.first_start()
    person.station.desk.library.language = language
    person.station.refresh()
    bench.pass_time(1.0)
    person.choose(TITLE)
    station = person.station
    assert station.sheet is not None
    assert len(station.sheet.sheet.choices) == 1
    assert list(too_small(station)) == []
    assert list(clipped(station)) == []
    assert height_kept(station) >= KEPT[language]
