"""The page at a job's end counts garments, not their passes."""

from __future__ import annotations

from pathlib import Path

from mistakes import PLAIN, hands, judge, said
from mistakes import at as begun
from station_harness import Bench

from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind

ROWS = "1,AS,QUILLON,31\n2,AS,MARROWAY,13\n"


def test_a_garment_pressed_on_both_sides_counts_once(bench: Bench, tmp_path: Path) -> None:
    person = begun(bench, tmp_path, ROWS, PLAIN, recipe="both-sides")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    bench.pass_time(1.0)
    assert "2 good, 0 accepted, 0 scrap" in said(person)
    person.close()


def test_a_garment_to_be_fixed_before_its_other_side_is_listed_once(
    bench: Bench, tmp_path: Path
) -> None:
    person = begun(bench, tmp_path, ROWS, PLAIN, recipe="both-sides")
    judge(hands(person, Phase.INSPECT), "Rework")
    while person.view.kind is not ScreenKind.DONE:
        person.move_on()
    bench.pass_time(1.0)
    assert "1 still open: 31" in said(person)
    assert [b.label for b in person.buttons() if "31" in b.label] == ["Number 31"]
    person.choose("Number 31")
    assert person.view.inspect_number == "31"  # a second button, for its other side, did nothing
    person.close()
