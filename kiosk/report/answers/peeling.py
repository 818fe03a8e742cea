"""Are peels early or late? From the opening to the tap, against the wait of the plan.

A guess is no rule: a peel is never early or late by it, only before or after what it says.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.heat import is_guessed, rests_on
from kiosk.plan.model import PeelWait, Place
from kiosk.report.answers.results import percent
from kiosk.report.content import Cell, Section, Table, Topic, head, row
from kiosk.report.period import Period

NOT_SCORED = say("report.not_scored")


@dataclass(slots=True)
class PeelCount:
    """Peels of one kind by one wait. `within_closing` were tapped in the next closing.

    By a guess `early` and `late` are before and after what it says.
    """

    wait: PeelWait
    early: int = 0
    late: int = 0
    count: int = 0
    within_closing: int = 0

    @property
    def guessed(self) -> bool:
        """Whether nobody knows this wait."""
        return is_guessed(self.wait)


Kind = tuple[str, str, str]  # recipe, peel word, what the wait rests on


def peel_counts(period: Period) -> dict[Kind, PeelCount]:
    """Return the peels by kind. At the press lateness is not told: one tap is both."""
    found: dict[Kind, PeelCount] = {}
    for facts in period.logs:
        for each in facts.peels:
            at = period.at(facts, each.stint)
            passage = at.passage(each.passage)
            if at.plan is None or passage is None or passage.wait is None:
                continue
            wait = passage.wait
            kind = at.plan.recipe, wait.peel.word, wait.source
            count = found.setdefault(kind, PeelCount(wait))
            count.count += len(each.seconds) + len(each.before)
            count.within_closing += len(each.before)
            count.early += sum(s < wait.from_seconds for s in each.seconds)
            if passage.place is not Place.PRESS:
                count.late += sum(s > wait.to_seconds for s in each.seconds)
    return found


def peels(period: Period) -> Topic:
    """Are peels early?"""
    found = dict(sorted(peel_counts(period).items()))
    rows = tuple(_row(recipe, peel, each) for (recipe, peel, _), each in found.items())
    names = ("recipe", "peel", "wait_by", "n", "early", "share", "late", "within_closing",
             "beside_guess")  # fmt: skip
    answer = tuple(_answers(found))
    data = {
        "peels": [_data(recipe, peel, each) for (recipe, peel, _), each in found.items()],
    }
    section = Section("peels", (*answer, say("report.peels_declared")), Table(head(*names), rows))
    return Topic(section, "peels", answer, data)


def _row(recipe: str, peel: str, each: PeelCount) -> tuple[Cell, ...]:
    scored: tuple[Cell | float, ...] = (
        each.early,
        percent(each.early, each.count),
        each.late,
    )
    beside: Cell = ""
    if each.guessed:
        scored = (NOT_SCORED, NOT_SCORED, NOT_SCORED)
        beside = say("report.beside_guess", before=each.early, after=each.late)
    by = rests_on(each.wait)
    return row(recipe, say(f"peel.{peel}"), by, each.count, *scored, each.within_closing, beside)


def _data(recipe: str, peel: str, each: PeelCount) -> dict[str, object]:
    early, late = (0, 0) if each.guessed else (each.early, each.late)
    told_by = {"wait_by": each.wait.source.rsplit(".", 1)[-1]}
    beside = {"before_guess": each.early, "after_guess": each.late} if each.guessed else {}
    return {"recipe": recipe, "peel": peel, "n": each.count, "early": early, "late": late,
            **told_by, **beside}  # fmt: skip


def _answers(found: dict[Kind, PeelCount]) -> list[Message]:
    scored = {kind: each for kind, each in found.items() if not each.guessed}
    guessed = [each for each in found.values() if each.guessed and each.count]
    answers = [_answer(scored)] if scored or not guessed else []
    if guessed:
        before, after = sum(e.early for e in guessed), sum(e.late for e in guessed)
        count = sum(each.count for each in guessed)
        answers.append(say("answer.peels.guess", count=count, before=before, after=after))
    return answers


def _answer(found: dict[Kind, PeelCount]) -> Message:
    count = sum(each.count for each in found.values())
    early = sum(each.early for each in found.values())
    late = sum(each.late for each in found.values())
    if not count:
        return say("answer.peels.none")
    by = tuple(dict.fromkeys(rests_on(each.wait) for each in found.values()))
    values: dict[str, Value] = {"count": count, "early": early, "late": late, "by": by}
    if not early and not late:
        return say("answer.peels.right", **values)
    most: dict[tuple[str, str], int] = defaultdict(int)
    for (recipe, peel, _), each in found.items():
        most[recipe, peel] += each.early + each.late
    recipe, peel = max(most, key=lambda kind: most[kind])
    return say("answer.peels.some", **values, recipe=recipe, peel=say(f"peel.{peel}"))
