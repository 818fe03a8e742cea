"""The order of work is the same in the station, `kiosk plan` and `kiosk simulate`."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from command_line import ROOT, kiosk

from kiosk.catalog.rules.faces import read_face
from kiosk.commands.load import load
from kiosk.commands.run import order_of
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job
from kiosk.plan.time.order import in_order
from kiosk.station.desk.jobs.library import Library


@pytest.mark.parametrize("job", ["raft-polo", "swim-school", "ice-crew"])
def test_station_plan_and_simulation_use_the_same_garment_order(job: str) -> None:
    folder = ROOT / "shared" / "jobs" / job
    offer = Library(ROOT / "recipes", folder.parent).offer(folder)
    loaded = load(str(folder), ROOT / "recipes")
    assert loaded is not None
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    assert isinstance(plan, Plan)
    assert order_of(loaded, plan).garments == offer.garments()
    assert in_order(offer.garments()).adjacent_twins == ()
    printed = json.loads(kiosk("plan", str(folder), "--json").out)["picks"]["order"]
    assert printed == [garment.line for garment in offer.garments()]


def test_station_and_simulation_agree_on_what_a_garment_lacks(tmp_path: Path) -> None:
    folder = tmp_path / "short"
    shutil.copytree(ROOT / "shared" / "jobs" / "pier-wardens", folder)
    rows = "1,AM,BRACK,6\n2,AM,,7\n3,AM,ORLO,\n4,AM,,\n"
    (folder / "roster.csv").write_text(f"line,size,name,number\n{rows}", "utf-8")
    garments = Library(ROOT / "recipes", tmp_path).offer(folder).garments()
    lacks = {"1": (), "2": ("name",), "3": ("number",), "4": ("name", "number")}
    assert {garment.line: garment.lacks for garment in garments} == lacks
    loaded = load(str(folder), ROOT / "recipes")
    assert loaded is not None
    plan = plan_job(loaded.job, loaded.catalog, read_face())
    assert isinstance(plan, Plan)
    assert order_of(loaded, plan).garments == garments


def test_twins_that_cannot_be_kept_apart_are_reported(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "shared" / "jobs" / "raft-polo", tmp_path / "two")
    roster = tmp_path / "two" / "roster.csv"
    roster.write_text("line,size,name,number\n1,AM,BRACK,6\n2,AM,ORLO,9\n", "utf-8")
    output = kiosk("plan", str(tmp_path / "two"), "--recipes", str(ROOT / "recipes")).out
    assert "6 and 9 read as each other upside down and cannot be kept apart" in output
