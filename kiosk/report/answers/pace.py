"""How long things take: cycles by procedure, hand times by move, and the slow steps."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from statistics import median, quantiles
from typing import NamedTuple

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import Step
from kiosk.plan.phrases import panel_word
from kiosk.plan.time import OPENING, carrier_waits, hands
from kiosk.report import evidence
from kiosk.report.content import EMPTY, Section, Table, Topic, head, row
from kiosk.report.period import EventPlace, Period, is_final, once
from kiosk.report.stats import median_interval

Procedure = tuple[str, str, str, int]  # station, recipe, panel, group


class TimedMove(NamedTuple):
    """Hand steps `words` (ids of phases) before the closing `closing` ("" for none).

    `panel` is "" if the job has only one. `slow` is the plan's slow end in seconds: moves with the
    same words on two panels, or with other pieces to lay, are different moves.
    """

    recipe: str
    panel: str
    words: tuple[str, ...]
    closing: str
    slow: float

    def procedure(self, recipes: Mapping[str, str]) -> Message | str:
        """Return the recipe's title, with the panel if the job has several."""
        title = recipes.get(self.recipe, self.recipe)
        if not self.panel:
            return title
        return say("report.procedure", recipe=title, panel=panel_word(self.panel))

    def label(self) -> Message:
        """Return the move in words."""
        phases: tuple[Value, ...] = tuple(say(f"phase.{word}") for word in self.words)
        if not self.closing:
            return say("report.move_open", phases=phases)
        closing = say(f"phase.{self.closing}")
        return say("report.move", phases=phases, closes=closing)


class HandsOwner(NamedTuple):
    """Whose hand times they are: a station's, or one person's if people there differ."""

    station: str
    operator: str
    move: TimedMove


class MovePace(NamedTuple):
    """The times of one move: sorted seconds, their median, and the plan's slow end.

    `strength` is the evidence that the median is beyond the slow end.
    """

    seconds: tuple[float, ...]
    middle: float
    planned_slow: float
    strength: evidence.Strength = evidence.Strength.TOO_LITTLE

    @property
    def lost(self) -> float:
        """Total seconds beyond the plan's slow end, computed from the median."""
        return max(0.0, self.middle - self.planned_slow) * len(self.seconds)

    def case(self) -> evidence.Comparison:
        """Return the chance of this many times beyond the slow end if that were the median."""
        count = len(self.seconds)
        if count < evidence.FEW:
            return evidence.NEVER
        beyond = count - bisect_right(self.seconds, self.planned_slow)
        return evidence.Comparison(evidence.at_least(beyond, count, 0.5), 0.5**count)


@once
def cycles(period: Period) -> dict[Procedure, tuple[float, ...]]:
    """Return sorted seconds from one final's tone to the next, by station and procedure."""
    found: dict[Procedure, list[float]] = defaultdict(list)
    for (_, station, recipe, panel, group), seconds in cycles_by_person(period).items():
        found[station, recipe, panel, group] += seconds
    return {key: tuple(sorted(seconds)) for key, seconds in found.items()}


@once
def cycles_by_person(period: Period) -> dict[tuple[str, str, str, str, int], list[float]]:
    """Return the cycle seconds by operator and procedure, in the order recorded."""
    found: dict[tuple[str, str, str, str, int], list[float]] = defaultdict(list)
    for facts in period.logs:
        for each in facts.cycles:
            place = period.place_of(facts, each.stint)
            passage = place.passage(each.passage)
            if (
                place.plan is not None
                and passage is not None
                and is_final(place.step(each.passage, each.step))
            ):
                found[
                    place.stint.operator,
                    place.station,
                    place.plan.recipe,
                    passage.panel,
                    passage.group,
                ] += each.seconds
    return dict(found)


def moves(period: Period) -> dict[HandsOwner, MovePace]:
    """Return the hand time of each move, from the event before it to its tap.

    Pooled by station, but a person who takes longer than the others there, beyond chance, is kept
    apart.
    """
    groups = _pooled(hands_by_person(period))
    paces = [MovePace(tuple(sorted(s)), median(s), key.move.slow) for key, s in groups.items()]
    verdicts = evidence.strengths([pace.case() for pace in paces], evidence.SHARED)
    return {
        key: pace._replace(strength=word)
        for key, pace, word in zip(groups, paces, verdicts, strict=True)
    }


@once
def hands_by_person(period: Period) -> dict[HandsOwner, list[float]]:
    """Return sorted seconds by move, station and person."""
    found: dict[HandsOwner, list[float]] = defaultdict(list)
    for facts in period.logs:
        for each in facts.moves:
            place = period.place_of(facts, each.stint)
            move = _move(place, each.passage, each.first, each.step)
            if move is not None:
                found[HandsOwner(place.station, place.stint.operator, move)] += each.seconds
    for times in found.values():
        times.sort()
    return dict(found)


def _pooled(found: Mapping[HandsOwner, list[float]]) -> dict[HandsOwner, list[float]]:
    """Pool the people of a station at a move, except those who take longer than the others."""
    keys, cases = list(found), []
    others = {key: [s for k, seconds in found.items() if k != key and k.station == key.station
                    and k.move == key.move for s in seconds] for key in keys}  # fmt: skip
    for key in keys:
        enough = min(len(found[key]), len(others[key])) >= evidence.FEW
        chance = evidence.longer_than_others(found[key], others[key]) if enough else 1.0
        cases.append(evidence.Comparison(chance, 0.0) if enough else evidence.NEVER)
    slow = {
        k
        for k, w in zip(keys, evidence.strengths(cases), strict=True)
        if w is not evidence.Strength.TOO_LITTLE
    }
    pooled: dict[HandsOwner, list[float]] = defaultdict(list)
    for key, seconds in found.items():
        pooled[key if key in slow else key._replace(operator="")] += seconds
    return pooled


def _move(place: EventPlace, passage: int, first: int, step: int) -> TimedMove | None:
    each = place.passage(passage)
    if place.plan is None or each is None:
        return None
    steps = each.steps[max(0, first) : step]
    closing = place.step(passage, step)
    hot = closing is not None and closing.seconds is not None
    names = tuple(s.phase.value for s in steps if s.seconds is None)
    panel = each.panel if len({p.panel for p in place.plan.passes}) > 1 else ""
    before = closing.phase.value if closing and hot else ""
    return TimedMove(place.plan.recipe, panel, names, before, _slow_seconds(steps))


def _slow_seconds(steps: Sequence[Step]) -> float:
    waits = sum(each.high for each in carrier_waits(steps))
    return round(sum(hands(s).high for s in steps) + waits + OPENING.high, 1)


def pace(period: Period) -> tuple[Topic, Topic]:
    """Return cycle times by procedure, and hand times with the answer to: which step is slow?"""
    return _cycle_topic(period), _move_topic(period)


def _cycle_topic(period: Period) -> Topic:
    rows = []
    found = cycles(period)
    several = {(recipe, panel) for _, recipe, panel, group in found if group}
    for (station, recipe, panel, group), seconds in sorted(found.items()):
        low, middle, high = _spread(seconds)
        suffix = "_group" if (recipe, panel) in several else ""
        title = period.recipes().get(recipe, recipe)
        values = {"recipe": title, "panel": panel_word(panel), "group": group + 1}
        name = say(f"report.procedure{suffix}", **values)
        rows.append(row(station, name, len(seconds), round(middle), f"{low:.0f}–{high:.0f}"))
    table = Table(head("station", "procedure", "n", "median_s", "half_s"), tuple(rows))
    reading = (say("report.cycles_reading"),)
    return Topic(Section("cycles", reading, table), data=lambda: {"cycles": [
        {"station": station, "recipe": recipe, "panel": panel, "group": group,
         "n": len(seconds), "median_s": round(_spread(seconds)[1], 1)}
        for (station, recipe, panel, group), seconds in sorted(found.items())
    ]})  # fmt: skip


def _spread(seconds: tuple[float, ...]) -> tuple[float, float, float]:
    if len(seconds) < 2:
        return seconds[0], seconds[0], seconds[0]
    low, middle, high = quantiles(seconds, n=4, method="inclusive")
    return low, middle, high


def _move_topic(period: Period) -> Topic:
    recipes = period.recipes()
    found = sorted(moves(period).items(), key=lambda item: (ORDER[item[1].strength], -item[1].lost))
    rows = tuple(
        row(move.label(), move.procedure(recipes), _owner_text(owner), len(each.seconds),
            each.middle, between(each.seconds), each.planned_slow,
            each.strength.say() if each.lost else "")
        for owner, each in found
        for move in (owner.move,)
    )  # fmt: skip
    slow = [(key, each) for key, each in found if each.strength is not evidence.Strength.TOO_LITTLE]
    beyond = sum(each.lost > 0 for _, each in found)
    answer = tuple(_slow_line(*each, recipes) for each in slow[:SLOW_NAMED]) or (
        say("answer.slow.too_little", count=beyond)
        if beyond
        else say("answer.slow.none", moves=len(found))
        if found
        else say("answer.slow.no_move"),
    )
    columns = head("move", "recipe", "whose", "n", "median_s", "between_s", "slow_s", "evidence")
    table = Table(columns, rows)
    return Topic(Section("moves", answer, table), "slow", answer, lambda: {
        "moves": [
            {"station": k.station, "operator": k.operator, "recipe": k.move.recipe,
             "panel": k.move.panel, "phases": list(k.move.words), "closes": k.move.closing,
             "n": len(p.seconds),
             "median_s": round(p.middle, 1), "planned_slow_s": p.planned_slow,
             "word": p.strength.value}
            for k, p in found
        ]
    })  # fmt: skip


ORDER = {evidence.Strength.CLEAR: 0, evidence.Strength.WATCH: 1, evidence.Strength.TOO_LITTLE: 2}
SLOW_NAMED = 2  # steps named in the answer; the table has all


def _owner_text(owner: HandsOwner) -> str:
    return f"{owner.operator}, {owner.station}" if owner.operator else owner.station


def between(seconds: Sequence[float]) -> str:
    """Return the interval of the true median in whole seconds, EMPTY if there are too few times."""
    found = median_interval(seconds)
    return EMPTY if found is None else f"{found.low:.0f}–{found.high:.0f}"


def _slow_line(owner: HandsOwner, each: MovePace, recipes: Mapping[str, str]) -> Message:
    return say(
        "answer.slow.some",
        phases=tuple(say(f"phase.{word}") for word in owner.move.words),
        recipe=owner.move.procedure(recipes),
        median=round(each.middle),
        between=between(each.seconds),
        slow=round(each.planned_slow),
        n=len(each.seconds),
        minutes=round(each.lost / 60),
        whose=_owner_text(owner),
        word=each.strength.say(),
    )
