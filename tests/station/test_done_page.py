"""The page at a job's end counts garments, not their passes."""

from __future__ import annotations

from pathlib import Path

from mistakes import PLAIN, said
from mistakes import at as begun
from station_harness import Bench

from kiosk.run.facts.questions import Kind


def test_a_garment_pressed_on_both_sides_is_one_good_garment(bench: Bench, tmp_path: Path) -> None:
    rows = "1,AS,QUILLON,31\n2,AS,MARROWAY,13\n"
    person = begun(bench, tmp_path, rows, PLAIN, recipe="both-sides")
    while person.view.kind is not Kind.DONE:
        person.move_on()
    bench.pass_time(1.0)
    assert "2 good, 0 accepted, 0 scrap" in said(person)
    person.close()
