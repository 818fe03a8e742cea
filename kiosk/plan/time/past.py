"""This shop's own past: how long a garment took in a procedure, from one tone to the next."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import quantiles

from kiosk.plan.fingerprint import Plain, plain
from kiosk.plan.model import PeelWait, Plan

ENOUGH = 10
"""Fewer cycles than this tell nothing: the plain handling times stand then."""


@dataclass(frozen=True, slots=True)
class Past:
    """Seconds from one garment's last tone to the next one's: median and quartiles of `cycles`."""

    cycles: int
    low: float
    median: float
    high: float


def past_of(seconds: Sequence[float]) -> Past | None:
    """Return what past cycles (seconds each) tell, None where there are too few."""
    if len(seconds) < ENOUGH:
        return None
    low, median, high = quantiles(seconds, n=4, method="inclusive")
    return Past(len(seconds), low, median, high)


def procedure(plan: Plan, run: int) -> str:
    """Return the same text for runs in which hands and press do the same, whatever the job."""
    told = [
        [
            [[s.phase.value, len(s.pieces), s.seconds, s.sheet] for s in each.steps],
            each.place.value,
            _wait(each.wait),
        ]
        for each in (plan.passes[index] for index in plan.runs[run])
    ]
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode("utf-8")).hexdigest()


def _wait(wait: PeelWait | None) -> Plain:
    """What of a wait makes a garment take its time; not what it is known by."""
    return None if wait is None else plain([wait.peel, wait.from_seconds, wait.to_seconds])


def past_by_run(plan: Plan, cycles: Mapping[str, Sequence[float]]) -> dict[int, Past]:
    """Return what the shop's cycles (by procedure) tell of each run of `plan`, where enough do."""
    told = {run: past_of(cycles.get(procedure(plan, run), ())) for run in range(len(plan.runs))}
    return {run: past for run, past in told.items() if past is not None}
