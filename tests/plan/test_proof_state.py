"""Which rows of a proof are approved: only garments that changed need approval again."""

from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.catalog.model.orders import Job, RosterLine
from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.rules import read_face
from kiosk.plan.fingerprint import Approval, proof_digests, proof_state
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def order() -> tuple[Plan, Job]:
    catalog, _ = read_catalog(ROOT / "recipes")
    job, _ = read_job(ROOT / "shared" / "jobs" / "raft-polo", catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    return plan, job


def all_approved(plan: Plan, rows: tuple[RosterLine, ...], by: str = "MV") -> dict[str, Approval]:
    return {
        row: Approval(digest, by, "2026-03-01") for row, digest in proof_digests(plan, rows).items()
    }


def _with(row: RosterLine, field: str, value: str) -> RosterLine:
    changed: RosterLine = replace(row, **{field: value})  # type: ignore[arg-type]
    return changed


CHANGES = [("name", "OTHER"), ("number", "99"), ("size", "AXXL"), ("set", "away")]


@pytest.mark.parametrize(("field", "value"), CHANGES)
def test_only_a_changed_row_needs_approval_again(
    field: str, value: str, order: tuple[Plan, Job]
) -> None:
    plan, job = order
    approvals = all_approved(plan, job.roster)
    rows = list(job.roster)
    rows[2] = _with(rows[2], field, value)
    state = proof_state(proof_digests(plan, rows), approvals)
    assert len(state.waiting) == 1
    assert state.waiting == {next(iter(state.changed or state.unseen))}
    assert state.approvals == (("MV", "2026-03-01"),)


def test_only_an_added_row_needs_approval_and_a_removed_row_changes_nothing(
    order: tuple[Plan, Job],
) -> None:
    plan, job = order
    approvals = all_approved(plan, job.roster[1:])
    assert proof_state(proof_digests(plan, job.roster), approvals).unseen == (job.roster[0].line,)
    assert not proof_state(proof_digests(plan, job.roster[2:]), approvals).waiting


def test_another_colour_changes_every_drawing_and_another_setting_none(
    order: tuple[Plan, Job],
) -> None:
    plan, job = order
    approvals = all_approved(plan, job.roster)
    other = replace(plan, pieces=tuple(replace(p, colour="green") for p in plan.pieces))
    assert len(proof_state(proof_digests(other, job.roster), approvals).changed) == len(job.roster)
    assert not proof_state(proof_digests(replace(plan, settings=()), job.roster), approvals).waiting


def test_the_digests_contain_no_names(order: tuple[Plan, Job]) -> None:
    plan, job = order
    said_of = str(proof_digests(plan, job.roster))
    assert not [row.name for row in job.roster if row.name and row.name in said_of]
