"""The made-up operator respects the peel zones, and the log has what was learned."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from itertools import pairwise
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "station"))

from cooling_recipes import ROOT, without_waits
from tack_shop import shop

from kiosk.__main__ import main
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.rules.faces import read_face
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.peel.worker import follow
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.state.cooling import CoolingPlace
from kiosk.run.state.event import Event
from kiosk.run.state.events import AskedQuick, Closed, Finished
from kiosk.run.state.events_station import PeelEstimated, PeelLearned
from kiosk.run.state.state import State
from kiosk.station.desk.jobs.library import garment
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

TACK_SECONDS = 3.0


def simulated(place: Path, garments: int) -> tuple[list[Event], State]:
    """Simulate warm-up tops with an estimated cold peel."""
    return of_job(place, without_waits(place), ROOT / "shared" / "jobs" / "ice-crew", garments)


def of_job(place: Path, recipes: Path, folder: Path, garments: int) -> tuple[list[Event], State]:
    catalog, _ = read_catalog(recipes)
    job, _ = read_job(folder, catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    order = SimulatedOrder(job.key, plan, "hash", tuple(garment(line) for line in job.roster))
    with closing(Recorder(Store.open(place / "log.sqlite3", simulated=True))) as recorder:
        simulate(recorder, order, 3, garments, follow=follow)
        return [each.event for each in recorder.store.events()], recorder.state


def test_each_garment_gets_an_estimate_a_timely_peel_and_a_lesson(tmp_path: Path) -> None:
    events, state = simulated(tmp_path, 24)
    finals = [e for e in events if isinstance(e, Closed) and e.dwell_seconds == 15.0]
    own = {e.estimate.opened for e in events if isinstance(e, PeelEstimated)}
    assert len(own) > 0.9 * len(finals)
    peeled = [e for e in events if isinstance(e, Finished) and e.peeled]
    early = [e for e in peeled if e.early_seconds is not None]
    assert len(early) < 0.15 * len(peeled)
    taught = [e for e in events if isinstance(e, PeelLearned)]
    assert len(taught) > 10
    assert state.betas[CoolingPlace.LIFTED.value] == taught[-1].kept


def test_the_operator_waits_for_a_tacks_carriers_and_is_not_called_slow(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Lifted, a light polyester is cold after 102 s (../shared/heat.md), a fifth sooner after a
    short tack; nobody is called before the middle of the range.
    """
    made = shop(tmp_path, Peel.COLD)
    events, _ = of_job(tmp_path, made / "recipes", made / "jobs" / "made-up", 3)
    closed = [e for e in events if isinstance(e, Closed)]
    waited = [
        b.at.clock - a.at.clock
        for a, b in pairwise(closed)
        if a.ticket == b.ticket and a.dwell_seconds == TACK_SECONDS
    ]
    assert len(waited) == 2 * 3
    assert min(waited) > 102 * 0.8
    assert not any(isinstance(e, AskedQuick) for e in events)
    assert main(["report", "--log", str(tmp_path / "log.sqlite3"), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    moves = [each for each in told["moves"] if "remove carrier" in each["phases"]]
    assert len(moves) == 2
    assert all(each["median_s"] < each["planned_slow_s"] for each in moves)
