"""The shipped jobs: each can be pressed as it is, and each family has one to practise on."""

from __future__ import annotations

import json

import pytest
from command_line import ROOT, kiosk

from kiosk.catalog.model.house import FAMILIES
from kiosk.catalog.rules.faces import read_face
from kiosk.commands.load import load
from kiosk.plan.group import plan_families
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job

JOBS = sorted(path.parent.name for path in (ROOT / "shared" / "jobs").glob("*/job.yaml"))


def plan_of(job: str) -> Plan:
    loaded = load(str(ROOT / "shared" / "jobs" / job), ROOT / "recipes")
    assert loaded is not None
    found = plan_job(loaded.job, loaded.catalog, read_face())
    assert isinstance(found, Plan)
    return found


@pytest.mark.parametrize("job", JOBS)
def test_every_shipped_job_has_no_faults_or_questions(job: str) -> None:
    result = kiosk("check", str(ROOT / "shared" / "jobs" / job))
    assert (result.code, result.err) == (0, "")
    assert "question" not in result.out


@pytest.mark.parametrize("job", JOBS)
def test_every_shipped_job_can_be_planned(job: str) -> None:
    result = kiosk("plan", job, "--json")
    assert (result.code, result.err) == (0, "")
    assert json.loads(result.out)["status"] == "ok"


def test_every_family_can_be_practised_on_a_shipped_job() -> None:
    found = {family for job in JOBS for family in plan_families(plan_of(job))}
    assert found == set(FAMILIES)


def test_at_least_one_shipped_job_has_two_panels() -> None:
    assert any(len({each.panel for each in plan_of(job).passes}) > 1 for job in JOBS)
