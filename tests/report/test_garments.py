"""From tickets to garments."""

from __future__ import annotations

import pytest
from report_samples import garment, ticket

from kiosk.report.tables import Result, garment_rows, result_of
from kiosk.run.state.model import Stage


@pytest.mark.parametrize(
    ("stages", "result"),
    [
        ((Stage.GOOD, Stage.GOOD), Result.GOOD),
        ((Stage.GOOD, Stage.ACCEPTED), Result.ACCEPTED),
        ((Stage.GOOD, Stage.WAITING), Result.OPEN),
        ((Stage.REWORK, Stage.WAITING), Result.REWORK),
        ((Stage.SCRAP, Stage.VOID), Result.SCRAP),
        ((Stage.GOOD, Stage.STOPPED), Result.OPEN),
        ((Stage.UNKNOWN,), Result.OPEN),
    ],
)
def test_the_worst_pass_decides_a_garment(stages: tuple[Stage, ...], result: Result) -> None:
    assert result_of(stages) is result


def test_a_garment_of_two_passes_is_one_row() -> None:
    rows = garment_rows((ticket(passage=0), ticket(passage=1), ticket("2")))
    assert [row.line for row in rows] == ["1", "2"]


def test_the_copy_after_a_scrap_is_a_row_of_its_own() -> None:
    rows = garment_rows((ticket(stage=Stage.SCRAP), ticket(copy=2)))
    assert [(row.copy, row.result) for row in rows] == [(1, Result.SCRAP), (2, Result.GOOD)]


def test_lines_are_sorted_as_people_count() -> None:
    rows = garment_rows(ticket(line) for line in ("10", "B", "2", "1"))
    assert [row.line for row in rows] == ["1", "2", "10", "B"]


def test_good_at_first_is_good_as_first_pressed() -> None:
    assert garment(ticket()).first_pass


def test_mended_or_pressed_again_is_not_good_at_first() -> None:
    assert not garment(ticket(defect="lifted_edge")).first_pass
    assert not garment(ticket(represses=1)).first_pass
    assert not garment(ticket(stage=Stage.ACCEPTED)).first_pass


def test_a_garment_belongs_to_the_shift_of_its_last_result() -> None:
    early, late = ticket(shift=1, ended=1.0), ticket(passage=1, shift=2, ended=2.0)
    assert garment(early, late).shift == 2


def test_an_open_garment_has_not_ended() -> None:
    assert garment(ticket(), ticket(passage=1, stage=Stage.WAITING)).ended is None
