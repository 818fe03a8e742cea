"""Columns without a heading, and lists without headings: common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.read import read_job
from kiosk.catalog.roster.answers import LEAVE_OUT, Answer
from kiosk.catalog.roster.order import OrderDetails, OrderDraft, OrderStatus
from kiosk.catalog.roster.order_start import begin

HEADLESS = "KOVA,7,AL\nVIK,3,AM\nOSK,5,AS\n"
THREE = [("KOVA", "7", "AL"), ("VIK", "3", "AM"), ("OSK", "5", "AS")]


def new_draft(tmp_path: Path, text: str) -> OrderDraft:
    """Return an order begun from a customer's file, with recipe, fabric and press given."""
    file, jobs = tmp_path / "list.csv", tmp_path / "jobs"
    file.write_text(text, "utf-8")
    jobs.mkdir()
    draft = begin(file, jobs, "list", own_catalog())
    draft.save(OrderDetails("list", "list.csv", "two-layers", "plain-cloth", "front-press"))
    return draft


def status_of(draft: OrderDraft) -> OrderStatus:
    return draft.status(own_catalog(), lambda job: ())


def lines(draft: OrderDraft) -> list[tuple[str, str, str]]:
    found = status_of(draft)
    assert (found.faults, found.open) == ((), ())
    assert found.job is not None
    return [(line.name, line.number, line.size) for line in found.job.roster]


def answer_columns(draft: OrderDraft, *columns: str) -> None:
    """Answer the questions about columns from left to right; "" for unused."""
    open_: tuple[Fault, ...] = status_of(draft).open
    assert {fault.cause for fault in open_} == {"unknown_column"}
    assert len({fault.id for fault in open_}) == len(columns)  # each has an id of its own
    for fault, field in zip(open_, columns, strict=True):
        answer = Answer(text=field) if field else Answer(decision=LEAVE_OUT)
        draft.answer((fault, answer))


def test_a_column_without_a_heading_can_be_answered_as_the_number(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, "Name,,Size\nKOVA,7,AL\nVIK,3,AM\n")
    answer_columns(draft, "number")
    assert lines(draft) == THREE[:2]


def test_each_column_without_a_heading_is_a_separate_question(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, ",,Name,Size\n1,7,KOVA,AL\n2,3,VIK,AM\n")
    answer_columns(draft, "", "number")
    assert lines(draft) == THREE[:2]


def test_the_first_garment_of_a_list_without_headings_is_not_lost(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, HEADLESS)
    answer_columns(draft, "name", "number", "size")
    assert lines(draft) == THREE


@pytest.mark.parametrize("name", ["KIT", "SET", "ROW"])
def test_a_player_named_like_a_heading_stays_a_player(tmp_path: Path, name: str) -> None:
    draft = new_draft(tmp_path, HEADLESS.replace("VIK", name))
    answer_columns(draft, "name", "number", "size")
    assert lines(draft) == [(name if a == "VIK" else a, b, c) for a, b, c in THREE]


def test_foreign_headings_are_kept_when_a_player_is_named_like_a_heading(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, f"Nom,Numéro,Taille\n{HEADLESS.replace('VIK', 'KIT')}")
    assert [fault.found for fault in status_of(draft).open] == ["Nom", "Numéro", "Taille"]


def test_headings_named_in_job_yaml_stay_headings(tmp_path: Path) -> None:
    columns = "{name: KOVA, number: '7', size: AL}"
    job, faults = read_job(job_with(tmp_path, HEADLESS, columns=columns), own_catalog())
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["VIK", "OSK"]


def test_names_and_sizes_alone_are_a_list_without_headings(tmp_path: Path) -> None:
    found = status_of(new_draft(tmp_path, "KOVA,AL\nVIK,AM\n"))
    assert [fault.found for fault in found.open] == ["[A]", "[B]"]


def test_a_title_above_a_list_without_headings_is_not_a_garment(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, f"Heron Hill,,\n{HEADLESS}")
    answer_columns(draft, "name", "number", "size")
    (fault,) = status_of(draft).open
    assert (fault.cause, fault.line) == ("title", 1)
    draft.answer((fault, Answer(decision="keep")))
    assert lines(draft) == THREE


@pytest.mark.parametrize(
    "first",
    [
        "Nom,Numéro,Taille",  # headings of another language
        "Nom,Numéro,M",  # M is a size, but the column below has none
    ],
)
def test_a_first_row_that_could_be_headings_is_read_as_headings(tmp_path: Path, first: str) -> None:
    draft = new_draft(tmp_path, f"{first}\nKOVA,7,X1\nVIK,3,X2\n")
    found = status_of(draft)
    assert [fault.found for fault in found.open] == first.split(",")
    assert found.guessed


def test_a_two_line_heading_can_be_answered(tmp_path: Path) -> None:
    draft = new_draft(tmp_path, '"Name\n(as worn)",Number,Size\nKOVA,7,AL\n')
    answer_columns(draft, "name")
    assert lines(draft) == THREE[:1]


def test_a_generated_heading_is_not_remembered_for_the_next_file(tmp_path: Path) -> None:
    from kiosk.catalog.roster.order_start import remember

    draft = new_draft(tmp_path, HEADLESS)
    answer_columns(draft, "name", "number", "size")
    remember(tmp_path, draft, own_catalog())
    assert not (tmp_path / "headings.yaml").exists(), ids(status_of(draft).open)
