"""Remarks beside garments, settled without a corrected file: invented, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
from catalog_folders import ids, job_with, own_catalog

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.model.orders import Job
from kiosk.catalog.read import read_job
from kiosk.catalog.roster.answers import allowed

ROWS = (
    "Name,Number,Size,Notes\nKOVA,7,AL,needs a YM\nVIK,3,AM,cancelled\n"
    "OSK,5,AS,number 12 instead\nLOM,8,AS,\n"
)


def read_with_answers(tmp_path: Path, *answers: str) -> tuple[Job | None, tuple[Fault, ...]]:
    folder = job_with(tmp_path, ROWS, answers="answers.yaml")
    (folder / "answers.yaml").write_text("\n".join(("# none", *answers)), "utf-8")
    return read_job(folder, own_catalog())


def test_remarks_are_one_question_that_can_be_split_by_row(tmp_path: Path) -> None:
    _, (remarks,) = read_with_answers(tmp_path)
    assert (remarks.cause, allowed(remarks).keep) == ("remarks", True)
    assert read_with_answers(tmp_path, f"{remarks.id}: keep")[1] == ()
    _, faults = read_with_answers(tmp_path, f"{remarks.id}: each")
    assert [(f.cause, f.line, f.key, f.found, allowed(f).choices) for f in faults] == [
        ("remark", 2, "size", "needs a YM", ("YM",)),
        ("remark", 3, "name", "cancelled", ()),
        ("remark", 4, "number", "number 12 instead", ("12",)),
    ]
    assert all(allowed(f).leave_out and allowed(f).keep for f in faults)


def test_each_remark_can_be_answered_with_a_change_to_its_row(tmp_path: Path) -> None:
    _, (remarks,) = read_with_answers(tmp_path)
    each = f"{remarks.id}: each"
    _, (size, gone, number) = read_with_answers(tmp_path, each)
    answers = (each, f"{size.id}: YM", f"{gone.id}: leave-out", f'{number.id}: "12"')
    job, faults = read_with_answers(tmp_path, *answers)
    assert faults == (), ids(faults)
    assert job is not None
    assert [(line.name, line.number, line.size) for line in job.roster] == [
        ("KOVA", "7", "YM"), ("OSK", "12", "AS"), ("LOM", "8", "AS"),
    ]  # fmt: skip


@pytest.mark.parametrize("decision", ["keep", "leave-out"])
def test_a_row_with_a_remark_can_be_kept_or_left_out(tmp_path: Path, decision: str) -> None:
    _, (remarks,) = read_with_answers(tmp_path)
    each = f"{remarks.id}: each"
    _, faults = read_with_answers(tmp_path, each)
    job, faults_left = read_with_answers(
        tmp_path, each, *(f"{fault.id}: {decision}" for fault in faults)
    )
    assert faults_left == ()
    assert job is not None
    names = ["KOVA", "VIK", "OSK", "LOM"] if decision == "keep" else ["LOM"]
    assert [line.name for line in job.roster] == names
