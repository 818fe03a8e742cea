"""Are peels early or late? From the opening to the tap, against the wait of the plan."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from kiosk.catalog.message import Message, say
from kiosk.plan.model import Place
from kiosk.report.content import Section, Table, Topic, head, row, told
from kiosk.report.period import Period
from kiosk.report.share import percent


@dataclass(slots=True)
class PeelCount:
    """Peels of one kind. `within_closing` were tapped in the next closing: at or before it."""

    early: int = 0
    late: int = 0
    count: int = 0
    within_closing: int = 0
    earliest: float | None = None


Kind = tuple[str, str]  # recipe, peel word


def peel_counts(period: Period) -> dict[Kind, PeelCount]:
    """Return the peels by recipe and kind. At the press lateness is not told: one tap is both."""
    found: dict[Kind, PeelCount] = defaultdict(PeelCount)
    for facts in period.logs:
        for each in facts.peels:
            at = period.at(facts, each.stint)
            passage = at.passage(each.passage)
            if at.plan is None or passage is None or passage.wait is None:
                continue
            count, wait = found[at.plan.recipe, passage.wait.peel.word], passage.wait
            count.count += len(each.seconds) + len(each.before)
            count.within_closing += len(each.before)
            count.early += sum(s < wait.from_seconds for s in each.seconds)
            if passage.place is not Place.PRESS:
                count.late += sum(s > wait.to_seconds for s in each.seconds)
            told = min(each.seconds, default=None)
            if told is not None and (count.earliest is None or told < count.earliest):
                count.earliest = told
    return dict(found)


def peels(period: Period) -> Topic:
    """Are peels early?"""
    found = peel_counts(period)
    rows = tuple(
        row(recipe, say(f"peel.{kind}"), each.count, each.early, percent(each.early, each.count),
            each.late, each.within_closing)
        for (recipe, kind), each in sorted(found.items())
    )  # fmt: skip
    table = Table(head("recipe", "peel", "n", "early", "share", "late", "within_closing"), rows)
    answer = (_answer(found),)
    data = {
        "peels": [
            {"recipe": recipe, "peel": kind, "n": each.count, "early": each.early,
             "late": each.late}
            for (recipe, kind), each in sorted(found.items())
        ]
    }  # fmt: skip
    section = Section("peels", (*answer, say("report.peels_declared")), table)
    return Topic(section, "peels", answer, data)


def _answer(found: dict[Kind, PeelCount]) -> Message:
    count = sum(each.count for each in found.values())
    early = sum(each.early for each in found.values())
    late = sum(each.late for each in found.values())
    if not count:
        return say("answer.peels.none")
    values = {"count": count, "early": early, "late": late}
    if not early and not late:
        return say("answer.peels.right", **values)
    (recipe, kind), _ = max(found.items(), key=lambda item: item[1].early + item[1].late)
    return say("answer.peels.some", **values, recipe=told(recipe), peel=f"@peel.{kind}")
