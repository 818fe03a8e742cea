"""From tickets to garments."""

from __future__ import annotations

import pytest
from report_samples import garment, ticket

from kiosk.report.tables import Result, garment_rows, result_of
from kiosk.run.state.model import TicketStage


@pytest.mark.parametrize(
    ("stages", "result"),
    [
        ((TicketStage.GOOD, TicketStage.GOOD), Result.GOOD),
        ((TicketStage.GOOD, TicketStage.ACCEPTED), Result.ACCEPTED),
        ((TicketStage.GOOD, TicketStage.WAITING), Result.OPEN),
        ((TicketStage.REWORK, TicketStage.WAITING), Result.REWORK),
        ((TicketStage.SCRAP, TicketStage.VOID), Result.SCRAP),
        ((TicketStage.GOOD, TicketStage.STOPPED), Result.OPEN),
        ((TicketStage.UNKNOWN,), Result.OPEN),
    ],
)
def test_the_worst_pass_decides_a_garments_result(
    stages: tuple[TicketStage, ...], result: Result
) -> None:
    assert result_of(stages) is result


def test_a_garment_with_two_passes_is_one_row() -> None:
    rows = garment_rows((ticket(passage=0), ticket(passage=1), ticket("2")))
    assert [row.line for row in rows] == ["1", "2"]


def test_a_copy_made_after_scrap_has_its_own_row() -> None:
    rows = garment_rows((ticket(stage=TicketStage.SCRAP), ticket(copy=2)))
    assert [(row.copy, row.result) for row in rows] == [(1, Result.SCRAP), (2, Result.GOOD)]


def test_lines_are_sorted_by_number_and_not_as_text() -> None:
    rows = garment_rows(ticket(line) for line in ("10", "B", "2", "1"))
    assert [row.line for row in rows] == ["1", "2", "10", "B"]


def test_a_garment_good_as_first_pressed_is_a_first_pass() -> None:
    assert garment(ticket()).first_pass


def test_a_repaired_or_re_pressed_garment_is_not_a_first_pass() -> None:
    assert not garment(ticket(defect="lifted_edge")).first_pass
    assert not garment(ticket(represses=1)).first_pass
    assert not garment(ticket(stage=TicketStage.ACCEPTED)).first_pass


def test_a_garment_belongs_to_the_shift_of_its_latest_result() -> None:
    early, late = ticket(shift=1, ended=1.0), ticket(passage=1, shift=2, ended=2.0)
    assert garment(early, late).shift == 2


def test_an_open_garment_has_no_end_time() -> None:
    assert garment(ticket(), ticket(passage=1, stage=TicketStage.WAITING)).ended is None
