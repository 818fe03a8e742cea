"""The temperatures of a garment in one pass, sampled to be drawn: by the station or on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kiosk.catalog.model import Peel, Thresholds
from kiosk.heat.curve import Solved
from kiosk.heat.solver import Sample
from kiosk.plan.heat.story import solved_pass
from kiosk.plan.heat.told import where_it_cools
from kiosk.plan.model import Pass, PeelWait, Phase, Place
from kiosk.plan.stack import HeatStack

KEPT_KELVIN = 1.0  # a sample nearer than this, and than a 300th of the time, is left out
KEPT_SHARE = 1 / 300
LEAST_AFTER, ROOM_AFTER = 60.0, 1.15  # seconds shown after opening, and beyond the last border
COOLING = "cool"


@dataclass(frozen=True, slots=True)
class PhaseSpan:
    """A phase by its word (`cool` after the final), from and to in seconds from loading."""

    phase: str
    start: float
    end: float
    closed: bool


@dataclass(frozen=True, slots=True)
class Level:
    """A temperature in °C that a peel goes by; `name` is `hot`, `warm_from`, `warm_to`, `cold`."""

    name: str
    celsius: float


@dataclass(frozen=True, slots=True)
class HeatCurve:
    """Seconds from loading with bond and cloth in °C (None where there is none), to be joined.

    `opened` is when the final ends; the borders of `wait` count from there.
    """

    points: tuple[Sample, ...]
    phases: tuple[PhaseSpan, ...]
    levels: tuple[Level, ...]
    opened: float
    place: Place
    wait: PeelWait | None

    @property
    def end(self) -> float:
        """The last moment shown, s."""
        return self.phases[-1].end

    @property
    def highest(self) -> float:
        """The highest temperature shown, °C."""
        return max(t for p in self.points for t in (p.bond, p.cloth) if t is not None)


def heat_curve(each: Pass) -> HeatCurve | None:
    """Return the curve of a pass as planned, in the middle of a shift; None without a model."""
    stack = each.heat
    if stack is None:
        return None
    solved = solved_pass(stack, where_it_cools(each))
    wanted = solved.opened + _after(each.wait)
    samples = solved.whole.samples
    end = next((sample.time for sample in samples if sample.time >= wanted), samples[-1].time)
    return HeatCurve(
        points=tuple(_thinned(solved, end)),
        phases=(*_phases(stack), PhaseSpan(COOLING, solved.opened, end, closed=False)),
        levels=_levels(stack.peel_at, stack.room, each.wait),
        opened=solved.opened,
        place=each.place,
        wait=each.wait,
    )


def _after(wait: PeelWait | None) -> float:
    """How long after opening there is something to see."""
    if wait is None:
        return LEAST_AFTER
    known = [wait.from_seconds, wait.prompt_seconds or 0.0]
    known += [span.high for span in (wait.ready, wait.late) if span is not None]
    if wait.ready is None:
        known.append(min(wait.to_seconds, 3 * wait.from_seconds))
    return max(LEAST_AFTER, ROOM_AFTER * max(known))


def _thinned(solved: Solved, end: float) -> Iterator[Sample]:
    """Leave out what no eye would miss."""
    last: Sample | None = None
    shown = [sample for sample in solved.whole.samples if sample.time <= end]
    for sample in shown:
        if last is None or sample is shown[-1] or _moved(last, sample, end):
            yield sample
            last = sample


def _moved(last: Sample, sample: Sample, end: float) -> bool:
    if sample.time - last.time >= end * KEPT_SHARE or sample.time == last.time:
        return True
    pairs = ((last.bond, sample.bond), (last.cloth, sample.cloth))
    if any((a is None) != (b is None) for a, b in pairs):
        return True
    return any(a is not None and b is not None and abs(a - b) >= KEPT_KELVIN for a, b in pairs)


def _phases(stack: HeatStack) -> Iterator[PhaseSpan]:
    begin = 0.0
    for state in stack.states:
        if state.phase in (Phase.PEEL.value, Phase.INSPECT.value):
            return
        if state.seconds > 0:
            yield PhaseSpan(state.phase, begin, begin + state.seconds, state.closed)
        begin += state.seconds


def _levels(peel_at: Thresholds, room: float, wait: PeelWait | None) -> tuple[Level, ...]:
    if wait is None:
        return ()
    if wait.peel is Peel.HOT:
        return (Level("hot", peel_at.hot_until),)
    if wait.peel is Peel.COLD:
        return (Level("cold", peel_at.cold(room)),)
    return (Level("warm_from", peel_at.warm_from), Level("warm_to", peel_at.warm_until))
