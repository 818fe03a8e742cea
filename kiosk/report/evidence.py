"""One rule of evidence for every answer: who or what stands out, and how certain that is.

A person or thing stands out if its share is higher than that of the others, beyond chance and
corrected for the number of comparisons. Groups are pooled only if none stands out.
"""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from enum import Enum
from math import erfc, exp, lgamma, log, prod, sqrt
from statistics import NormalDist
from typing import Any, Generic, NamedTuple, TypeVar

from kiosk.catalog.base import Message, Value, say

LEAST = 20  # smaller totals are shown as counts, never as a rate
OFTEN = 3  # fewer slips of a kind name nobody
FEW = 6  # even the full range of fewer times contains the median less often than SURE
WATCH, CLEAR = 0.05, 0.01  # allowed chance of naming anybody wrongly in one question
SURE = 0.95


class Strength(Enum):
    """How strong the evidence is; `evidence.<value>` is its message."""

    CLEAR = "clear"
    WATCH = "watch"
    TOO_LITTLE = "too_little"

    def say(self) -> Message:
        """Return the word as a message."""
        return say(f"evidence.{self.value}")


class Interval(NamedTuple):
    """The 95 percent confidence interval, in the unit of the value."""

    low: float
    high: float


class Share(NamedTuple):
    """A count out of a total."""

    part: int
    whole: int

    @property
    def rate(self) -> float:
        """The share itself; 0 if the total is 0."""
        return self.part / self.whole if self.whole else 0.0

    def values(self) -> dict[str, Value]:
        """Return the counts, and the interval in percent, as values for a message."""
        found = wilson(*self)
        low, high = round(100 * found.low), round(100 * found.high)
        return {"part": self.part, "whole": self.whole, "low": low, "high": high}

    def in_words(self) -> Message:
        """Return a message with the counts and the interval; below LEAST with the counts only."""
        return say("report.share" if self.whole >= LEAST else "report.share_few", **self.values())


NONE = Share(0, 0)

Z = NormalDist().inv_cdf((1 + SURE) / 2)
"""Standard deviations on each side of the mean that hold SURE of a normal distribution."""


def wilson(part: int, whole: int) -> Interval:
    """Return the Wilson score interval of a share; 0 to 1 if `whole` is 0."""
    if not whole:
        return Interval(0.0, 1.0)
    z2 = Z**2
    share, spread = part / whole, 1 + z2 / whole
    middle = (share + z2 / (2 * whole)) / spread
    reach = sqrt(z2 * (share * (1 - share) / whole + z2 / (4 * whole * whole))) / spread
    return Interval(max(0.0, middle - reach), min(1.0, middle + reach))


def more_than_others(strata: Iterable[tuple[Share, Share]]) -> float:
    """Return the chance of one's own count or a higher one, if all are alike in each stratum.

    A stratum is (own share, share of the others there). One-sided hypergeometric, summed over
    the strata.
    """
    each = list(strata)
    if len(each) == 1:
        return min(1.0, sum(_drawn(*each[0], least=each[0][0].part).values()))
    chances, own_slips = {0: 1.0}, 0
    for own, others in each:
        chances, own_slips = _summed(chances, _drawn(own, others)), own_slips + own.part
    return min(1.0, sum(chance for n, chance in chances.items() if n >= own_slips))


def _drawn(own: Share, others: Share, least: int = 0) -> dict[int, float]:
    """Return the chance that n of a stratum's slips are one's own, by n, from `least` up."""
    slips, whole = own.part + others.part, own.whole + others.whole
    logs = log_factorials(whole)
    all_ways = logs[whole] - logs[slips] - logs[whole - slips]
    mine, theirs = logs[own.whole], logs[others.whole]
    return {
        n: exp((mine - logs[n] - logs[own.whole - n])
               + (theirs - logs[slips - n] - logs[others.whole - slips + n]) - all_ways)
        for n in range(max(least, slips - others.whole), min(slips, own.whole) + 1)
    }  # fmt: skip


_factorials: list[float] = []


def log_factorials(most: int) -> list[float]:
    """Return ln 0!, ln 1! and so on, to at least `most`; callers must not change the list."""
    global _factorials
    logs = _factorials
    if most >= len(logs):  # a new list, because a board makes pages in threads
        _factorials = logs = [lgamma(n + 1) for n in range(most + 1)]
    return logs


NOTHING = 1e-15  # smaller chances are left out of sums


def _summed(one: Mapping[int, float], other: Mapping[int, float]) -> dict[int, float]:
    found: dict[int, float] = defaultdict(float)
    for n, chance in one.items():
        if chance > NOTHING:
            for m, other_chance in other.items():
                found[n + m] += chance * other_chance
    return found


def at_least(part: int, whole: int, share: float) -> float:
    """Return the binomial chance of `part` or more of `whole`, each with the chance `share`."""
    if part <= 0:
        return 1.0
    if part <= whole * share:  # fewer terms on the lower side
        return 1.0 - _beyond(whole - part + 1, whole, 1 - share)
    return _beyond(part, whole, share)


def _beyond(part: int, whole: int, share: float) -> float:
    """Return the upper tail; `part` must be above the mean, so that the terms decrease."""
    logs, odds = log_factorials(whole), share / (1 - share)
    first = logs[whole] - logs[part] - logs[whole - part]
    chance, total = exp(first + part * log(share) + (whole - part) * log(1 - share)), 0.0
    for n in range(part, whole + 1):
        total += chance
        chance *= (whole - n) / (n + 1) * odds
        if chance <= total * NOTHING:
            break
    return total


def longer_than_others(own: Sequence[float], others: Sequence[float]) -> float:
    """Return the chance of one's own times ranking this high or higher, if both are alike.

    One-sided rank-sum test: normal approximation, corrected for ties and continuity.
    """
    n, m = len(own), len(others)
    mine, every = Counter(own), Counter([*own, *others])
    ranks, tied, before = 0.0, 0, 0
    for time, many in sorted(every.items()):
        ranks += mine[time] * (before + (many + 1) / 2)
        tied += many**3 - many
        before += many
    total = n + m
    spread = n * m / 12 * (total + 1 - tied / (total * (total - 1)))
    if not spread:
        return 1.0
    beyond = ranks - n * (n + 1) / 2 - n * m / 2 - 0.5
    return erfc(beyond / sqrt(2 * spread)) / 2


class Comparison(NamedTuple):
    """One comparison: the chance of its result, and the lowest chance any result could have.

    A comparison that could never name anybody does not count in the correction.
    """

    chance: float
    least: float


NEVER = Comparison(1.0, 1.0)
SHARED = 5
"""Presses, materials, peels, steps and tacks share one allowance; people have their own."""


def strengths(cases: Sequence[Comparison], questions: int = 1) -> tuple[Strength, ...]:
    """Return the word for each comparison, corrected for their number (Tarone).

    `questions` is the number of questions that share one allowance of false names.
    """
    clear, watch = CLEAR / questions, WATCH / questions
    if all(case.chance > watch for case in cases):
        return (Strength.TOO_LITTLE,) * len(cases)
    clear_count, watch_count = (_comparisons_counted(cases, each) for each in (clear, watch))
    found = []
    for case in cases:
        weaker = Strength.WATCH if case.chance * watch_count <= watch else Strength.TOO_LITTLE
        found.append(Strength.CLEAR if case.chance * clear_count <= clear else weaker)
    return tuple(found)


def _comparisons_counted(cases: Sequence[Comparison], level: float) -> int:
    """Return the smallest k such that no more than k comparisons can reach `level` / k (Tarone)."""
    ranked = sorted([case.least for case in cases])
    for many, next_one in enumerate(ranked[1:], 1):
        if next_one * many > level:
            return many
    return max(1, len(ranked))


K = TypeVar("K", bound=Hashable)


class Standout(NamedTuple, Generic[K]):
    """A person or thing that stands out: its share, that of the others, and the evidence."""

    key: K
    own: Share
    others: Share
    strength: Strength


Strata = Mapping[Any, Share]


def stand_out(
    groups: Mapping[K, Strata],
    among: Mapping[K, Hashable] | None = None,
    alone: float = 1.0,
    questions: int = SHARED,
) -> tuple[Standout[K], ...]:
    """Return the groups with a higher share than the others of their kind, in input order.

    A group's shares are split by place (a press) and compared with the others there. A group
    that shared no press is compared with the others elsewhere or, if there are none, with the
    share `alone` (1: never named). `among` gives each group's kind (a topic); without it all are
    one kind. The correction counts all kinds together.
    """
    few = all(sum(s.part for s in own.values()) < OFTEN for own in groups.values())
    if few or (len(groups) < 2 and alone >= 1):
        return ()
    by_kind: dict[Hashable, list[K]] = defaultdict(list)
    kinds: Mapping[K, Hashable] = among or dict.fromkeys(groups)
    for key in groups:
        by_kind[kinds[key]].append(key)
    found = {
        key: _compared(own, [groups[other] for other in by_kind[kinds[key]] if other != key])
        for key, own in groups.items()
    }
    cases = [_case(strata, alone) for strata in found.values()]
    return tuple(
        Standout(key, total(own for own, _ in strata), total(other for _, other in strata), word)
        for (key, strata), word in zip(found.items(), strengths(cases, questions), strict=True)
        if word is not Strength.TOO_LITTLE
    )


def _compared(own: Strata, others: Sequence[Strata]) -> list[tuple[Share, Share]]:
    if not others:
        return [(total(own.values()), NONE)]
    pairs = ((s, total(o[place] for o in others if place in o)) for place, s in own.items())
    shared = [each for each in pairs if each[1].whole]
    return shared or [(total(own.values()), total(s for o in others for s in o.values()))]


def total(shares: Iterable[Share]) -> Share:
    """Return the shares added up; use it only for groups that agree."""
    part = whole = 0
    for share in shares:
        part, whole = part + share.part, whole + share.whole
    return Share(part, whole)


def _case(strata: Sequence[tuple[Share, Share]], alone: float) -> Comparison:
    own = total(share for share, _ in strata)
    if own.whole < LEAST:
        return NEVER
    if not total(others for _, others in strata).whole:
        if alone >= 1:
            return NEVER
        chance = at_least(own.part, own.whole, alone) if own.part >= OFTEN else 1.0
        return Comparison(chance, at_least(own.whole, own.whole, alone))
    most = [min(a.part + b.part, a.whole) for a, b in strata]
    if sum(most) < OFTEN:
        return NEVER
    least = prod(_drawn(a, b, n)[n] for n, (a, b) in zip(most, strata, strict=True))
    return Comparison(more_than_others(strata) if own.part >= OFTEN else 1.0, least)


def agree(groups: Mapping[K, Share]) -> bool:
    """Return whether groups can be pooled: none has more or less than the others."""
    less = {key: Share(share.whole - share.part, share.whole) for key, share in groups.items()}
    both = ({key: {"": share} for key, share in each.items()} for each in (groups, less))
    return not any(map(stand_out, both))
