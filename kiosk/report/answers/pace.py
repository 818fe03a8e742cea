"""How long things take: cycles by procedure, hands by move; which step is slow?"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from statistics import median, quantiles

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.phrases import panel_word
from kiosk.plan.time import OPENING, hands
from kiosk.report.answers.results import LEAST
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.period import At, Period, is_final
from kiosk.report.stats import learned_rate

FEW = 5  # moves of a kind below which none is called slow
LEARNED = 0.95  # a rate above says nothing
LEARNING = 40  # cycles in order below which no learning is told

Procedure = tuple[str, str, int]  # recipe, panel, group


@dataclass(frozen=True, slots=True)
class Move:
    """Hand steps `words` (ids of phases) before the closing `closes` ("" for none)."""

    recipe: str
    words: tuple[str, ...]
    closes: str

    def label(self) -> Message:
        """Return the move in words."""
        phases: tuple[Value, ...] = tuple(say(f"phase.{word}") for word in self.words)
        if not self.closes:
            return say("report.move_open", recipe=self.recipe, phases=phases)
        closes = say(f"phase.{self.closes}")
        return say("report.move", recipe=self.recipe, phases=phases, closes=closes)


@dataclass(frozen=True, slots=True)
class Pace:
    """One move's times: seconds seen, and those a slow operator is planned with."""

    seconds: tuple[float, ...]
    planned_slow: float

    @property
    def lost(self) -> float:
        """Seconds beyond the slow end of the plan, all together, going by the median."""
        return max(0.0, median(self.seconds) - self.planned_slow) * len(self.seconds)


def cycles(period: Period) -> dict[Procedure, tuple[float, ...]]:
    """Return the seconds from one final's tone to the next one's, by procedure, in order."""
    found: dict[Procedure, list[float]] = defaultdict(list)
    for facts in period.logs:
        for each in facts.cycles:
            at = period.at(facts, each.stint)
            passage = at.passage(each.passage)
            if (
                at.plan is not None
                and passage is not None
                and is_final(at.step(each.passage, each.step))
            ):
                found[at.plan.recipe, passage.panel, passage.group] += each.seconds
    return {key: tuple(seconds) for key, seconds in found.items()}


def moves(period: Period) -> dict[Move, Pace]:
    """Return what hands took for each move, from whatever was recorded before to its tap."""
    found: dict[Move, list[float]] = defaultdict(list)
    planned: dict[Move, float] = {}
    for facts in period.logs:
        for each in facts.moves:
            at = period.at(facts, each.stint)
            move = _move(at, each.passage, each.first, each.step)
            if move is not None:
                found[move] += each.seconds
                planned[move] = _planned(at, each.passage, each.first, each.step)
    return {move: Pace(tuple(seconds), planned[move]) for move, seconds in found.items()}


def _move(at: At, passage: int, first: int, step: int) -> Move | None:
    each = at.passage(passage)
    if at.plan is None or each is None:
        return None
    steps = each.steps[max(0, first) : step]
    closes = at.step(passage, step)
    hot = closes is not None and closes.seconds is not None
    names = tuple(s.phase.value for s in steps if s.seconds is None)
    return Move(at.plan.recipe, names, closes.phase.value if closes and hot else "")


def _planned(at: At, passage: int, first: int, step: int) -> float:
    each = at.passage(passage)
    steps = each.steps[max(0, first) : step] if each else ()
    return sum(hands(s).high for s in steps) + OPENING.high


def pace(period: Period) -> tuple[Topic, Topic]:
    """Cycle time by procedure, and by move: which step is slow?"""
    return _cycle_topic(period), _move_topic(period)


def _cycle_topic(period: Period) -> Topic:
    rows, data = [], []
    found = cycles(period)
    for (recipe, panel, group), seconds in sorted(found.items()):
        low, middle, high = _spread(seconds)
        name = say("report.procedure", recipe=recipe, panel=panel_word(panel), group=group + 1)
        rows.append(row(name, len(seconds), round(middle), f"{low:.0f}–{high:.0f}"))
        data.append({"recipe": recipe, "panel": panel, "group": group, "n": len(seconds),
                     "median_s": round(middle, 1)})  # fmt: skip
    reading = tuple(
        say("report.learning", recipe=key[0], percent=round(100 * rate))
        for key, seconds in sorted(found.items())
        if len(seconds) >= LEARNING and min(seconds) > 0
        if (rate := learned_rate(seconds)) <= LEARNED
    )
    table = Table(head("procedure", "n", "median_s", "half_s"), tuple(rows))
    reading = reading or (say("report.cycles_reading"),)
    return Topic(Section("cycles", reading, table), data={"cycles": data})


def _spread(seconds: tuple[float, ...]) -> tuple[float, float, float]:
    if len(seconds) < 2:
        return seconds[0], seconds[0], seconds[0]
    low, middle, high = quantiles(seconds, n=4, method="inclusive")
    return low, middle, high


def _move_topic(period: Period) -> Topic:
    found = sorted(moves(period).items(), key=lambda item: -item[1].lost)
    rows = tuple(
        row(move.label(), len(each.seconds), median(each.seconds), each.planned_slow)
        for move, each in found
    )
    slow = next((each for each in found if each[1].lost and len(each[1].seconds) >= FEW), None)
    answer = (_slow(*slow) if slow else say("answer.slow.none", moves=len(found)),)
    data = {
        "moves": [
            {"recipe": m.recipe, "phases": list(m.words), "closes": m.closes, "n": len(p.seconds),
             "median_s": round(median(p.seconds), 1), "planned_slow_s": p.planned_slow}
            for m, p in found
        ]
    }  # fmt: skip
    table = Table(head("move", "n", "median_s", "slow_s"), rows)
    return Topic(Section("moves", answer, table), "slow", answer, data)


def _slow(move: Move, each: Pace) -> Message:
    few = len(each.seconds) < LEAST
    return say(
        "answer.slow.few" if few else "answer.slow.some",
        phases=tuple(say(f"phase.{word}") for word in move.words),
        recipe=move.recipe,
        median=round(median(each.seconds)),
        slow=round(each.planned_slow),
        n=len(each.seconds),
        minutes=round(each.lost / 60),
    )
