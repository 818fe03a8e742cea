"""The made-up operator keeps to the zones of a peel, and the log has what was learned."""

from __future__ import annotations

import sys
from contextlib import closing
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "station"))

from cooling_recipes import ROOT, without_waits

from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.rules.faces import read_face
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.peel.worker import follow
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.state.cooling import Lies
from kiosk.run.state.event import Event
from kiosk.run.state.events import Closed, Finished
from kiosk.run.state.events_station import PeelEstimated, PeelLearned
from kiosk.run.state.model import State
from kiosk.station.desk.jobs.library import garment
from kiosk.train.made_up_operator.operator import Order, simulate


def simulated(place: Path, garments: int) -> tuple[list[Event], State]:
    """So many warm-up tops, their cold peel estimated."""
    catalog, _ = read_catalog(without_waits(place))
    job, _ = read_job(ROOT / "shared" / "jobs" / "ice-crew", catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    order = Order(job.key, plan, "hash", tuple(garment(line) for line in job.roster))
    with closing(Recorder(Store.open(place / "log.sqlite3", simulated=True))) as recorder:
        simulate(recorder, order, 3, garments, follow=follow)
        return [each.event for each in recorder.store.events()], recorder.state


def test_each_garment_is_estimated_peeled_when_called_and_teaches(tmp_path: Path) -> None:
    events, state = simulated(tmp_path, 24)
    finals = [e for e in events if isinstance(e, Closed) and e.dwell_seconds == 15.0]
    own = {e.estimate.opened for e in events if isinstance(e, PeelEstimated)}
    assert len(own) > 0.9 * len(finals)
    peeled = [e for e in events if isinstance(e, Finished) and e.peeled]
    early = [e for e in peeled if e.early_seconds is not None]
    assert len(early) < 0.15 * len(peeled)
    taught = [e for e in events if isinstance(e, PeelLearned)]
    assert len(taught) > 10
    assert state.betas[Lies.LIFTED.value] == taught[-1].kept
