"""A garment's whole heat history compared with scipy's BDF on the same grid, and look-ups.

`python tests/bench/bench_heat.py` prints JSON: milliseconds, microseconds, and their ratio in one
run. BDF gets the loosest tolerance at which it is as accurate as the solver. `card_us` is a card's
zone in one frame, `submit_ms` the delay for the caller who starts a solve.
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parents[2]
BESIDE = ("heat", "run", "station")  # for by_scipy and the shop
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / room) for room in BESIDE)]

from by_scipy import by_scipy  # noqa: E402 - found by the path above
from cooling_recipes import without_waits  # noqa: E402 - the same
from run_samples import Bench, on_shift  # noqa: E402 - the same
from usual_garment import usual  # noqa: E402 - the same

from kiosk.catalog.read import read_catalog, read_job  # noqa: E402 - the same
from kiosk.catalog.rules.faces import read_face  # noqa: E402 - the same
from kiosk.heat.curve import solve  # noqa: E402 - the same
from kiosk.heat.garment import GarmentPlace, Setup, story  # noqa: E402 - the same
from kiosk.heat.solver import Sample, history  # noqa: E402 - the same
from kiosk.peel.estimate import estimate  # noqa: E402 - the same
from kiosk.peel.worker import Estimates  # noqa: E402 - the same
from kiosk.plan.model import Plan  # noqa: E402 - the same
from kiosk.plan.procedure import plan_job  # noqa: E402 - the same
from kiosk.run.facts.peels import peel_time  # noqa: E402 - the same
from kiosk.run.state import commands as c  # noqa: E402 - the same
from kiosk.station.desk.jobs.library import garment  # noqa: E402 - the same

TOLERANCES = (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 1e-6)
ROUNDS = 7
LOOK_UPS = 2000


def measure() -> dict[str, float]:
    """Return the figures for one garment with one lifted film."""
    garment = story(Setup(149.0, pad=60.0, lower=50.0), usual(where=GarmentPlace.LIFTED))
    found = history(garment)
    own = [sample for _, samples in found.stages for sample in samples]
    marks = [[s.time - samples[0].time for s in samples] for _, samples in found.stages]
    for (stage, _), times in zip(found.stages, marks, strict=True):
        times[-1] = stage.seconds  # sums of steps differ by a rounding
    true = by_scipy(garment, "Radau", 1e-9, marks)
    error = _apart(own, true)
    errors = ((t, _apart(by_scipy(garment, "BDF", t, marks), true)) for t in TOLERANCES)
    tolerance, error_bdf = next((t, e) for t, e in errors if e <= error or t == TOLERANCES[-1])
    own_ms, bdf_ms = [], []
    for _ in range(ROUNDS):
        own_ms.append(_milliseconds(lambda: history(garment)))
        bdf_ms.append(_milliseconds(lambda: by_scipy(garment, "BDF", tolerance)))
    return {
        "history_ms": round(min(own_ms), 2),
        "bdf_ms": round(min(bdf_ms), 2),
        "bdf_over_own": round(min(bdf_ms) / min(own_ms), 1),
        "error_kelvin": round(error, 3),
        "bdf_error_kelvin": round(error_bdf, 3),
        "bdf_tolerance": tolerance,
        "look_up_us": round(_look_up(), 2),
        "card_us": round(_card(), 2),
        "submit_ms": round(_submit(), 2),
    }


def _apart(found: list[Sample], true: list[Sample]) -> float:
    pairs = zip(found, true, strict=True)
    return max(abs(a.bond - b.bond) for a, b in pairs if a.bond is not None and b.bond is not None)


def _milliseconds(act: Callable[[], object]) -> float:
    begin = time.perf_counter()
    act()
    return 1000 * (time.perf_counter() - begin)


def _look_up() -> float:
    cooling = solve(story(Setup(149.0), usual())).cooling
    first, last = cooling.samples[0].time, cooling.samples[-1].time
    times = [first + (last - first) * n / LOOK_UPS for n in range(LOOK_UPS)]
    best = min(_milliseconds(lambda: [cooling.at(t) for t in times]) for _ in range(ROUNDS))
    return 1000 * best / LOOK_UPS


def _rack() -> Bench:
    """Return a station with one garment pressed whose cooling is estimated."""
    with TemporaryDirectory() as place:
        catalog, _ = read_catalog(without_waits(Path(place)))
    job, _ = read_job(ROOT / "shared" / "jobs" / "ice-crew", catalog)
    assert job is not None
    plan = plan_job(job, catalog, read_face())
    assert isinstance(plan, Plan)
    bench = on_shift()
    bench.do(c.StartJob(job.key, plan, "hash", tuple(garment(line) for line in job.roster)))
    for _ in range(2):
        bench.answer().wait(1.0)
        bench.tap()
        bench.ring()
    return bench


def _card() -> float:
    """Return the microseconds for a card's zone and range in one frame, by its own estimate."""
    bench = _rack()
    given = estimate(bench.state)
    assert given is not None
    bench.do(given)
    job, ticket, now = bench.job, bench.job.tickets[given.ticket], bench.now

    def cards() -> None:
        for _ in range(LOOK_UPS):
            peel_time(job, ticket, now)

    return 1000 * min(_milliseconds(cards) for _ in range(ROUNDS)) / LOOK_UPS


def _submit() -> float:
    """Return the milliseconds that starting a solve delays the tap."""
    state, kept, estimates = _rack().state, [], Estimates()
    estimates.executor().submit(int).result()  # so that the thread exists
    for _ in range(ROUNDS):
        kept.append(_milliseconds(lambda: estimates.start_solving(state)))
        while not estimates.ready:
            time.sleep(0.001)
        estimates.take()
    estimates.close()
    return sorted(kept)[ROUNDS // 2]


if __name__ == "__main__":
    print(json.dumps(measure(), indent=1))
