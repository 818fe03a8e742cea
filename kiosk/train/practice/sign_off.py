"""What the shop requires for a sign-off, how far a trainee is, and how the times came down."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from itertools import takewhile
from math import exp, inf, log
from statistics import fmean

from kiosk.catalog.base import Message, dataclass, recorded_word, say
from kiosk.catalog.model import SignOffRule
from kiosk.report.stats import learned_rate, unit_time
from kiosk.train.practice.levels import HelpLevel, PractisedGarment, Trainee

FEWEST_FOR_A_CURVE = 3
HELPS = (HelpLevel.WATCH, HelpLevel.GUIDED, HelpLevel.PROMPTED, HelpLevel.RECALL)
SLIPS_MISSED = 1  # how many of the last slips may be missed


@dataclass(frozen=True, slots=True)
class Criterion:
    """One requirement: how much there is and is needed, within the last `of`, `hours` apart."""

    name: str
    has: int
    needs: int
    of: int = 0
    hours: int = 0

    @property
    def met(self) -> bool:
        """Whether the criterion is met."""
        return self.has >= self.needs

    @property
    def line(self) -> Message:
        """The requirement as a line of a page."""
        word = "met" if self.met else "open"
        values = {"has": self.has, "needs": self.needs, "of": self.of, "hours": self.hours}
        return say(f"practice.criterion.{self.name}_{word}", **values)


def criteria(trainee: Trainee, family: str, rule: SignOffRule) -> tuple[Criterion, ...]:
    """Return the shop's requirements in a family, with what the trainee has shown."""
    garments = [
        replace(each, clean=each.clean and each.false_alarms <= rule.false_alarms)
        for each in trainee.of_family(family)
    ]
    in_a_row = sum(1 for _ in takewhile(lambda each: each.own and each.clean, reversed(garments)))
    levels = {key: level for key, level in trainee.levels.items() if key[0] == family}
    unaided = sum(
        key in trainee.reasons and level is HelpLevel.OWN for key, level in levels.items()
    )
    kinds = {kind: count for (own, kind), count in trainee.slips.items() if own == family}
    caught = sum(count.last for count in kinds.values())
    window = rule.slips_caught + SLIPS_MISSED
    return (
        Criterion("steps", unaided, len(levels)) if levels else Criterion("any_step", 0, 1),
        Criterion("garments", in_a_row, rule.clean_garments),
        Criterion("slips", sum(trainee.found.get(family, ())[-window:]), rule.slips_caught, window),
        Criterion("kinds", caught, max(rule.slip_kinds, len(kinds) if rule.slip_kinds else 0)),
        Criterion("quiz", sum(trainee.quiz.get(family, ())), rule.quiz_right),
        Criterion("days", _days(garments, rule.hours_between), rule.days, hours=rule.hours_between),
    )


def criteria_met(trainee: Trainee, family: str, rule: SignOffRule) -> tuple[int, int]:
    """Return how many requirements are met, and how many there are."""
    needed = [each for each in criteria(trainee, family, rule) if each.needs]
    return sum(each.met for each in needed), len(needed)


def fading_line(trainee: Trainee, family: str) -> Message | None:
    """Return how far help has faded over the steps; None before practice and once all is gone."""
    own = [key for key in trainee.levels if key[0] == family]
    if not own or all(
        key in trainee.reasons and trainee.level(*key) is HelpLevel.OWN for key in own
    ):
        return None
    past = {each.word: sum(trainee.level(*key) > each for key in own) for each in HELPS}
    return say("practice.fading", reasons=sum(key in trainee.reasons for key in own), **past)


def _days(garments: Iterable[PractisedGarment], hours: int) -> int:
    """Return on how many days, `hours` apart, an unaided garment was clean and a slip found."""
    days, last = 0, -inf
    for each in garments:
        other_day = date.fromtimestamp(each.wall) != date.fromtimestamp(last) if days else True
        counts = each.own and each.clean and each.found > 0
        if counts and other_day and each.wall - last >= hours * 3600:
            days, last = days + 1, each.wall
    return days


def missed_slips(trainee: Trainee, family: str) -> Message | None:
    """Return how many slips of each kind were missed, None if none were."""
    kinds = [(kind, n) for (own, kind), n in trainee.slips.items() if own == family and n.missed]
    if not kinds:
        return None
    lines = tuple(
        say(
            "practice.slips.of",
            kind=recorded_word("practice.slip", kind),
            missed=count.missed,
            of=count.missed + count.caught,
        )
        for kind, count in sorted(kinds, key=lambda each: -each[1].missed)
    )
    return say("practice.slips", told=lines)


def is_ready(trainee: Trainee, family: str, rule: SignOffRule) -> bool:
    """Return whether a trainee may ask to be signed off for a family."""
    return all(each.met for each in criteria(trainee, family, rule))


def own_times(trainee: Trainee, family: str) -> list[float]:
    """Return the hand seconds of the garments made without help, oldest first."""
    return [each.seconds for each in trainee.of_family(family) if each.own and each.seconds > 0]


def with_help(trainee: Trainee, family: str) -> int:
    """Return how many garments had help, whose times do not count as the trainee's own."""
    return sum(not each.own for each in trainee.of_family(family))


def curve_line(trainee: Trainee, family: str) -> Message:
    """Return how the hand seconds came down, by the unit model, or that it is too soon to say."""
    times = own_times(trainee, family)
    if len(times) < FEWEST_FOR_A_CURVE:
        return say("practice.curve.few", count=len(times), needs=FEWEST_FOR_A_CURVE)
    values = {"first": round(times[0]), "last": round(times[-1]), "count": len(times)}
    rate = learned_rate(times)
    if rate >= 1:
        return say("practice.curve.flat", **values)
    ahead = {"next": 2 * len(times), "then": round(times[-1] * rate)}
    return say("practice.curve.rate", rate=round(rate * 100), **ahead, **values)


@dataclass(frozen=True, slots=True)
class TimedGarment:
    """One garment in order: its hand seconds, and the fitted curve's value there."""

    nth: int
    seconds: float
    on_curve: float | None


def timed_garments(trainee: Trainee, family: str) -> tuple[TimedGarment, ...]:
    """Return the garments made without help, in order, with the unit model fitted to them."""
    times = own_times(trainee, family)
    if len(times) < FEWEST_FOR_A_CURVE:
        return tuple(TimedGarment(n, seconds, None) for n, seconds in enumerate(times, 1))
    rate = learned_rate(times)
    # The fit passes through the means of both logarithms, which gives its first unit.
    unscaled = [unit_time(1.0, rate, n) for n in range(1, len(times) + 1)]
    first = exp(fmean(log(t / u) for t, u in zip(times, unscaled, strict=True)))
    return tuple(
        TimedGarment(n, seconds, first * share)
        for n, (seconds, share) in enumerate(zip(times, unscaled, strict=True), 1)
    )
