"""Made-up shops that differ from the model: how well β is learned from operators who comply.

Each shop has its own heat transfer, masses and contacts. Randomness is passed in. `python
tests/heat/shops.py [N]` has N shops (150) press 205 garments each and prints errors, coverage of
the range and drift in percent.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import accumulate
from math import exp
from random import Random
from statistics import fmean

from usual_garment import found_ready, usual

from kiosk.catalog.model import PROPOSED as THRESHOLDS
from kiosk.catalog.model.sheets import Peel
from kiosk.heat.curve import (
    TOUCH_KELVIN,
    Curve,
    Observation,
    ObservationKind,
    SolvedCurves,
    good_peel,
    lifted_edge,
    solve,
    touch_check,
)
from kiosk.heat.garment import Cooling, GarmentPlace, Setup, peel_zones, story
from kiosk.heat.learn import LIFTED, MODEL_SPREAD, PAD, Beta, learn
from kiosk.heat.solver import Sample
from kiosk.heat.stack import PROPERTIES, Body, Properties

LAG_SECONDS = (3.0, 10.0)  # from the prompt to the peel
TOUCHING_EVERY = 2.0
TOUCHED_GARMENT = 2  # the third garment, so one of the first five
FIRST_LESSONS = 5
GARMENT_SPREAD = 0.03  # between the garments of one shop
HEAT_TRANSFER_SPREAD, MASS_SPREAD, CONTACT_SPREAD, PAD_KELVIN = 0.17, 0.08, 0.3, 4.0
PAD_WARM, LOWER_WARM = 60.0, 50.0  # °C, in the middle of a shift


@dataclass(frozen=True, slots=True)
class Trial:
    """What the shops do: which peel, where it cools, and whether a peel too soon lifts an edge.

    If not `honest`, every peel is reported as good: the case in which a learner would drift.
    `touches` is whether each shop touches one garment; `wrong` is the share of good peels reported
    as a moment at a random time.
    """

    peel: Peel
    where: GarmentPlace
    honest: bool = True
    touches: bool = True
    wrong: float = 0.0

    @property
    def prior(self) -> Beta:
        """β before any observation."""
        return PAD if self.where is GarmentPlace.PAD else LIFTED

    def ready_at(self, room: float) -> float:
        """Return the bond temperature that counts as ready, °C."""
        return THRESHOLDS.warm_from if self.peel is Peel.WARM else THRESHOLDS.cold(room)

    def goal(self, room: float) -> float:
        """Return the temperature whose time is predicted, °C."""
        return THRESHOLDS.warm_aim if self.peel is Peel.WARM else THRESHOLDS.cold(room)


@dataclass(frozen=True, slots=True)
class Shop:
    """The mean of ln β after each garment, the true time over the model's, and edges lifted."""

    means: tuple[float, ...]
    truth: float
    edges: int
    covered: tuple[bool, ...]


def shop_properties(chance: Random, data: Properties = PROPERTIES) -> Properties:
    """Return a random shop's own properties."""

    def vary(spread: float) -> float:
        return exp(chance.gauss(0, spread))

    def own(body: Body) -> Body:
        return replace(body, kg_per_square_metre=body.kg_per_square_metre * vary(MASS_SPREAD))

    air, contact = vary(HEAT_TRANSFER_SPREAD), vary(CONTACT_SPREAD)
    return replace(
        data,
        film=own(data.film),
        carriers={kind: own(body) for kind, body in data.carriers.items()},
        cloths={kind: own(body) for kind, body in data.cloths.items()},
        contacts={pair: (a * contact, b * contact) for pair, (a, b) in data.contacts.items()},
        platen=data.platen * contact,
        emissivity=data.emissivity * air,  # scales radiation like the rest
        free_up=data.free_up * air,
        free_down=data.free_down * air,
        free_hanging=data.free_hanging * air,
    )


class Asked(Curve):
    """A curve that caches its answers, as it is asked the same for every garment."""

    __slots__ = ("_known",)
    _known: dict[float, float | None]

    def __init__(self, samples: tuple[Sample, ...]) -> None:
        object.__setattr__(self, "_known", {})
        super().__init__(samples)

    def falls_to(self, limit: float) -> float | None:
        """Return the time at which the bond first falls to `limit` °C."""
        if limit not in self._known:
            self._known[limit] = super().falls_to(limit)
        return self._known[limit]


def solved_garment(where: GarmentPlace, setup: Setup) -> SolvedCurves:
    """Return a usual garment that cools at `where`."""
    cooling = 900.0 if where is GarmentPlace.PAD else 300.0
    return solve(story(setup, usual(where=where, cooling=cooling)))


def _setup() -> Setup:
    return Setup(149.0, 23.0, pad=PAD_WARM, lower=LOWER_WARM)


TRIALS: Mapping[str, Trial] = {
    "lifted_warm": Trial(Peel.WARM, GarmentPlace.LIFTED),
    "lifted_warm_every_peel_called_good": Trial(Peel.WARM, GarmentPlace.LIFTED, honest=False),
    "lifted_cold": Trial(Peel.COLD, GarmentPlace.LIFTED),
    "pad_warm": Trial(Peel.WARM, GarmentPlace.PAD),
    "ready_by_only": Trial(Peel.WARM, GarmentPlace.LIFTED, touches=False),
    "one_in_ten_wrong": Trial(Peel.WARM, GarmentPlace.LIFTED, wrong=0.1),
}


class _Operator:
    """One shop's garments, one after the other."""

    def __init__(
        self, trial: Trial, model: SolvedCurves, true: SolvedCurves, chance: Random
    ) -> None:
        self._trial, self._model, self._true, self._chance = trial, model, true, chance
        self._room = _setup().room
        self._limit = trial.ready_at(self._room)
        self._ready = (model.cooling.falls_to(self._limit) or 0.0) - model.opened

    def garment(self, number: int, beta: Beta) -> Observation | None:
        """Peel one garment by its prompt; return what the shop saw."""
        slower = exp(self._chance.gauss(0, GARMENT_SPREAD))
        if number == TOUCHED_GARMENT and self._trial.touches:
            return self._touched(slower)
        cooling = Cooling(self._model.cooling, self._model.opened, self._room, beta)
        prompt = peel_zones(self._trial.peel, cooling).prompt_seconds
        if prompt is None or not self._ready:
            return None
        peeled = prompt + self._chance.uniform(*LAG_SECONDS)
        bond = self._true.cooling.at(self._true.opened + peeled / slower) or 0.0
        if self._trial.honest and bond > self._limit:
            return lifted_edge(peeled, self._ready)
        if self._chance.uniform(0, 1) < self._trial.wrong:
            return found_ready(self._ready * exp(self._chance.uniform(-1, 1)), self._ready)
        return good_peel(peeled, self._ready, prompted=True)

    def _touched(self, slower: float) -> Observation | None:
        """Touch every two seconds until it feels like a warm peel, which a hand can tell best."""
        goal = THRESHOLDS.warm_aim
        felt = goal + self._chance.gauss(0, TOUCH_KELVIN)
        moment = self._true.cooling.falls_to(felt)
        if moment is None:
            return None
        seconds = (moment - self._true.opened) * slower + self._chance.uniform(0, TOUCHING_EVERY)
        return touch_check(self._model.cooling, self._model.opened, seconds, goal, self._room)


def run_shop(
    trial: Trial, model: SolvedCurves, true: SolvedCurves, garments: int, chance: Random
) -> Shop:
    """Return what one shop learns, garment by garment; ValueError if it never cools enough."""
    goal = trial.goal(_setup().room)
    truth = _seconds(true, goal) / _seconds(model, goal)
    operator = _Operator(trial, model, true, chance)
    lessons: list[Observation] = []

    def next_beta(beta: Beta, number: int) -> Beta:
        observed = operator.garment(number, beta)
        if observed is None:
            return beta
        lessons.append(observed)
        return learn(beta, observed, trial.prior)

    betas = tuple(accumulate(range(garments), next_beta, initial=trial.prior))
    edges = sum(observed.kind is ObservationKind.LIFTED_EDGE for observed in lessons)
    # The predicted garment varies by as much as the range allows for.
    next_garment = (truth * exp(chance.gauss(0, MODEL_SPREAD)) for _ in betas)
    spans = (beta.span for beta in betas)
    covered = tuple(s[0] <= t <= s[2] for s, t in zip(spans, next_garment, strict=True))
    return Shop(tuple(beta.mean for beta in betas), truth, edges, covered)


def _seconds(solved: SolvedCurves, goal: float) -> float:
    moment = solved.cooling.falls_to(goal)
    if moment is None:
        raise ValueError(f"the bond does not fall to {goal:g} °C")
    return moment - solved.opened


def run_shops(trial: Trial, count: int, garments: int, chance: Random) -> tuple[Shop, ...]:
    """Return `count` shops that each press `garments` garments."""
    model = solved_garment(trial.where, _setup())
    model = replace(model, cooling=Asked(model.cooling.samples))
    return tuple(
        run_shop(trial, model, true, garments, chance)
        for true in solved_shops(trial.where, count, chance.random())
    )


def solved_shops(where: GarmentPlace, count: int, seed: float) -> tuple[SolvedCurves, ...]:
    """Return a usual garment of each of `count` shops, solved once for all trials of a seed."""
    chance, solved = _solved(where, seed)
    while len(solved) < count:
        own = shop_properties(chance)
        pad = PAD_WARM + chance.gauss(0, PAD_KELVIN)
        solved.append(solved_garment(where, replace(_setup(), properties=own, pad=pad)))
    return tuple(solved[:count])


@cache
def _solved(where: GarmentPlace, seed: float) -> tuple[Random, list[SolvedCurves]]:
    """Return a seed's random source and the list of shops solved from it so far."""
    return Random(seed), []


def figures(shops: Sequence[Shop]) -> Mapping[str, float]:
    """Return the shops' figures in percent: errors, range coverage, drift, lifted edges.

    Drift is the mean change of β between the first lessons and the last garment.
    """
    last = len(shops[0].means) - 1
    drift = fmean(s.means[last] - s.means[FIRST_LESSONS] for s in shops)
    found = {
        "error_uncalibrated": _error(shops, 0),
        "error_after_five": _error(shops, FIRST_LESSONS),
        "error_after_all": _error(shops, last),
        "range_covers_uncalibrated": _covered(shops, 0),
        "range_covers_after_five": _covered(shops, FIRST_LESSONS),
        "range_covers_after_all": _covered(shops, last),
        "drift": drift,
        "lifted_edges": fmean(s.edges / last for s in shops),
    }
    return {f"{key}_percent": round(100 * value, 1) for key, value in found.items()}


def _error(shops: Sequence[Shop], garment: int) -> float:
    return fmean(abs(exp(s.means[garment]) / s.truth - 1) for s in shops)


def _covered(shops: Sequence[Shop], garment: int) -> float:
    return fmean(s.covered[garment] for s in shops)


def main(count: int) -> None:
    """Print what `count` shops learn in each trial."""
    found: dict[str, object] = {"shops": count}
    for name, trial in TRIALS.items():
        run = run_shops(trial, count, FIRST_LESSONS + 200, Random(20260))  # the same shops
        found[name] = figures(run)
    print(json.dumps(found, indent=1))


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 150)
