"""How long a job takes, as a range, and how many garments the cooling rack holds meanwhile."""

from __future__ import annotations

import math
from collections import Counter, deque
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from kiosk.plan.group import elements_of
from kiosk.plan.model import HOT_PHASES, Pass, PeelPlace, Phase, Plan, Step
from kiosk.plan.time import handling
from kiosk.plan.time.through import own_passes, steps_without

Garments = int | Mapping[int, int]
"""How many garments go through every pass, or through each by its index."""


NONE: Mapping[int, handling.HandTime] = MappingProxyType({})
Spared = Mapping[int, handling.HandTime]
"""Seconds saved in each pass, by its index, because garments lack some elements."""


def minutes(
    plan: Plan,
    garments: Garments,
    past: Mapping[int, handling.PastCycles] | None = None,
    spared: Spared = NONE,
) -> tuple[int, int]:
    """Return the whole minutes that `garments` take, with quick and with slow hands.

    Counted: the steps of each garment, reading back garment and press, changes of setting with
    their settling, and the wait of each lot's last garments. A garment on the rack is peeled while
    the next is pressed and costs no time of its own as long as that fits into a closing. Not
    counted: breaks, scrap, fetching.
    """
    total = whole_job(plan, garments, past or {}, spared).seconds
    return math.floor(total.low / 60), math.ceil(total.high / 60)


def whole_job(
    plan: Plan, garments: Garments, past: Mapping[int, handling.PastCycles], spared: Spared = NONE
) -> TimeLeft:
    """Return how long a job of these garments takes from the very start."""
    if isinstance(garments, int):
        garments = {index: garments for run in plan.runs for index in run}
    left, heats = time_left(plan, garments, past, spared), sum(garments.values())
    if not heats:
        return left
    has_change = bool(plan.settings and plan.settings[0].setting_change)
    reading = handling.SETTLING if has_change else handling.NOTHING
    if not left.cycles:  # a shop's own cycles include reading back
        reading += handling.READ_BACK.times(heats)
        reading += handling.NOTHING if has_change else handling.READING
    return left._replace(seconds=left.seconds + reading)


class TimeLeft(NamedTuple):
    """Seconds until a job is done; `cycles` is how many of the shop's own they rest on, or 0."""

    seconds: handling.HandTime
    cycles: int


def time_left(
    plan: Plan,
    garments: Mapping[int, int],
    past: Mapping[int, handling.PastCycles],
    spared: Spared = NONE,
) -> TimeLeft:
    """Return how long the garments still to press take, given their number by pass index.

    `past` has the shop's own cycles by run. They are used if every run with garments left has some,
    from the lower to the upper quartile; otherwise typical handling times are.
    """
    ahead = {n: [i for i in run if garments.get(i, 0) > 0] for n, run in enumerate(plan.runs)}
    ahead = {run: passes for run, passes in ahead.items() if passes}
    own = bool(ahead) and ahead.keys() <= past.keys()
    total, before = handling.NOTHING, -1
    for run, passes in ahead.items():
        total += _change(plan, before, passes[0])
        if own:
            most = max(garments[index] for index in passes)
            total += handling.HandTime(past[run].low, past[run].high).times(most)
            last = plan.passes[passes[-1]]  # no other work overlaps the last garment's wait
            total += _wait(last) if last.place is PeelPlace.RACK else handling.NOTHING
        else:
            for index in passes:
                spare = spared.get(index, handling.NOTHING)
                total += _pass(plan, index, garments[index]).less(spare)
        before = passes[-1]
    return TimeLeft(total, min(past[run].cycles for run in ahead) if own else 0)


def spared_by(plan: Plan, lacks: Iterable[tuple[int, tuple[str, ...]]]) -> Spared:
    """Return the time saved, given a (pass index, lacked elements) pair for each garment."""
    found = dict[int, handling.HandTime]()
    for (index, lacked), count in Counter(lacks).items():
        saved = _seconds_spared(plan.passes[index], lacked, plan.closes_in_seconds).times(count)
        found[index] = found.get(index, handling.NOTHING) + saved
    return found


def spared_in(plan: Plan, lacks: Iterable[tuple[str, ...]]) -> Spared:
    """Return the time saved by garments in their passes, given what each of them lacks."""
    return spared_by(plan, ((p, each) for each in lacks if each for p in own_passes(plan, each)))


def _seconds_spared(each: Pass, lacks: tuple[str, ...], closes_in: float) -> handling.HandTime:
    """Seconds of the steps that one garment skips, and of the pieces that it lacks."""
    without, total = steps_without(each, lacks), handling.NOTHING
    waits = handling.carrier_waits(each.steps)
    for nth, step in enumerate(each.steps):
        lacked = [name for name in step.pieces if {*elements_of((name,))} <= {*lacks}]
        if nth in without:
            total += handling.work(step, closes_in) + waits[nth]
        elif lacked:
            total += handling.of_pieces(step.phase, len(lacked))
    if each.place is PeelPlace.RACK and each.peels and {*each.peels} <= {*without}:
        total += handling.RACKING
    return total


def with_setting(left: TimeLeft) -> TimeLeft:
    """Return `left` plus setting the press: from reading it only, to letting it settle."""
    to_be_set = handling.HandTime(handling.READING.low, handling.SETTLING.high)
    return left._replace(seconds=left.seconds + to_be_set)


def flat_places(plan: Plan, garments: int) -> int:
    """Return the most garments that lie flat at once: quick hands, and the longest wait.

    Counts those on the rack, plus the current one if it waits off the platen after a tack.
    """
    racked = (each for each in plan.passes if each.place is PeelPlace.RACK)
    lifted = any(step.place is not PeelPlace.PRESS for each in plan.passes for step in each.steps)
    most = max((_lot(plan, each, garments, longest=True).places for each in racked), default=0)
    return most + lifted


def _pass(plan: Plan, index: int, garments: int) -> handling.HandTime:
    """The time of `garments` garments in one pass."""
    each = plan.passes[index]
    if each.place is not PeelPlace.RACK:
        return _garment(each, plan.closes_in_seconds).times(garments)
    quick, slow = _lot(plan, each, garments), _lot(plan, each, garments, slow=True, longest=True)
    return handling.HandTime(quick.seconds, slow.seconds)


def _garment(each: Pass, closes_in: float) -> handling.HandTime:
    """The time of one garment in a pass that ends at the press or in hand."""
    total = handling.NOTHING
    for step, wait in zip(each.steps, handling.carrier_waits(each.steps), strict=True):
        total += handling.work(step, closes_in) + wait
    if each.place is PeelPlace.HAND and each.wait is not None:
        total += handling.HandTime(each.wait.from_seconds, each.wait.to_seconds)
    return total


def _lot(
    plan: Plan, each: Pass, garments: int, *, slow: bool = False, longest: bool = False
) -> LotFinish:
    """A lot with quick or slow hands, with the shortest or the longest wait."""
    waits, closes_in = _wait(each), plan.closes_in_seconds
    beats, rack_steps = list[Beat](), list[Step]()
    for step, wait in zip(each.steps, handling.carrier_waits(each.steps), strict=True):
        if _at_rack(each, step):
            rack_steps.append(step)
        else:
            beats.append(_beat(each, step, closes_in, slow).later(_side(wait, slow)))
    return play_lot(
        beats,
        _side(handling.RACKING, slow),
        sum([_side(handling.hands(step), slow) for step in rack_steps]),
        waits.high if longest else waits.low,
        garments,
    )


def _beat(each: Pass, step: Step, closes_in: float, slow: bool) -> Beat:
    """A step at the press until it has opened; a peel in hand waits for its time."""
    if step.phase not in HOT_PHASES:
        is_peel = step.phase is Phase.PEEL
        wait, place = handling.stage_of(each, step) if is_peel else (None, PeelPlace.PRESS)
        wait_seconds = wait.from_seconds if wait is not None and place is PeelPlace.HAND else 0.0
        return Beat(_side(handling.hands(step), slow) + wait_seconds)
    return Beat(closes_in + _side(handling.OPENING, slow), float(step.seconds or 0))


def _side(span: handling.HandTime, slow: bool) -> float:
    return span.high if slow else span.low


def _wait(each: Pass) -> handling.HandTime:
    """From opening until the operator is called to peel: as estimated, and as first called."""
    return handling.NOTHING if each.wait is None else handling.call_time(each.wait)


def _at_rack(each: Pass, step: Step) -> bool:
    """Whether a step is done after racking; a hot peel never is."""
    if step.phase is Phase.INSPECT:
        return each.place is PeelPlace.RACK
    return step.phase is Phase.PEEL and handling.stage_of(each, step)[1] is PeelPlace.RACK


def _change(plan: Plan, before: int, index: int) -> handling.HandTime:
    """The time to reach the temperature of pass `index` after pass `before` (-1: no change)."""
    if before < 0 or _temperature(plan.passes[before]) == _temperature(plan.passes[index]):
        return handling.NOTHING
    return handling.SETTLING


def _temperature(each: Pass) -> int | None:
    return next(s.temperature for s in each.steps if s.phase is Phase.FINAL)


PLAYED = 60  # garments simulated; later ones take as long as the last SETTLED
SETTLED = 20


class Beat(NamedTuple):
    """Seconds of work at the press, then seconds of a closing in which the hands are free."""

    work: float
    closed: float = 0.0

    def later(self, seconds: float) -> Beat:
        """Return the beat with `seconds` of waiting before it."""
        return self._replace(work=self.work + seconds)


class LotFinish(NamedTuple):
    """Seconds until the last garment is peeled and inspected, and the most flat places taken."""

    seconds: float
    places: int


def play_lot(
    beats: Sequence[Beat], racking: float, later: float, wait: float, garments: int
) -> LotFinish:
    """Return how a lot goes: each garment's `beats`, then onto the rack, ready after `wait`.

    `later` seconds of peeling and inspecting are done during a closing long enough (or during the
    longest, if none is); what is still on the rack at the end adds to the total.
    """
    least = min(later, max((beat.closed for beat in beats if beat.closed), default=0.0))
    clock, most, ends = 0.0, 0, [0.0]
    rack: deque[float] = deque()  # when each garment on it is ready, oldest first
    for _ in range(min(garments, PLAYED)):
        for work, closed in beats:
            clock += work
            free, clock = clock, clock + closed
            until = clock - least
            while rack and free <= until and rack[0] <= until:
                free = max(free, rack.popleft()) + later  # peeled while the press is closed
            clock = max(clock, free)
        clock += racking
        rack.append(clock - racking + wait)
        most = max(most, len(rack))
        ends.append(clock)
    if garments > PLAYED:
        each = (ends[-1] - ends[-1 - SETTLED]) / SETTLED
        clock += each * (garments - PLAYED)
        rack = deque(ready + each * (garments - PLAYED) for ready in rack)
    while rack:
        clock = max(clock, rack.popleft()) + later
    return LotFinish(clock, most)
