"""Who needs help with what: by topic, where the log is clear; in the order of the letters."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from kiosk.catalog.base import Message, say
from kiosk.plan.heat import is_guessed
from kiosk.report.answers.results import LEAST, failures
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.period import At, Period, passage_of
from kiosk.run.state import Finished, ReadBack

OFTEN = 3  # fewer slips of one kind are chance
ALONE = 0.1  # a share above which it is told even where nobody else can be compared with
TWICE = 2.0  # so many times as often as everybody else

# Topic: the event that counts as an occasion.
TOPICS = {
    "reading": "read-back",
    "peel": "finished",
    "quick": "closed",
    "closing": "closed",
    "opening": "closed",
    "laying": "finished",
    "pulling": "finished",
    "sheet": "finished",
}
_BY_KIND = {
    "asked-quick": "quick",
    "not-closed": "closing",
    "never-closed": "closing",
    "was-closed": "opening",
}
_BY_CAUSE = {"laid_wrong": "laying", "wrong_pull": "pulling", "sheet_forgotten": "sheet"}


@dataclass(frozen=True, slots=True)
class Help:
    """One person and one topic: so many slips on so many occasions. `help.<topic>` says what."""

    operator: str
    topic: str
    slips: int
    occasions: int


def needed(period: Period) -> tuple[Help, ...]:
    """Return the help that the log speaks for, by initials, then by topic.

    A topic is told at 3 slips or more on 20 occasions or more, where they come at least twice
    as often as for everybody else; for one who is alone, on a tenth of the occasions.
    """
    slips, occasions = _slips(period), _occasions(period)
    people = period.operators()
    return tuple(
        Help(who, topic, slips[who, topic], occasions[who, topic])
        for who in people
        for topic in TOPICS
        if _clear(who, topic, people, slips, occasions)
    )


Counts = Counter[tuple[str, str]]


def _clear(who: str, topic: str, people: tuple[str, ...], slips: Counts, occasions: Counts) -> bool:
    own, of = slips[who, topic], occasions[who, topic]
    if own < OFTEN or of < LEAST:
        return False
    others = [each for each in people if each != who]
    theirs, of_theirs = (sum(c[each, topic] for each in others) for c in (slips, occasions))
    if of_theirs < LEAST:
        return own / of >= ALONE
    return own / of >= max(TWICE * theirs / of_theirs, ALONE / 2)


def _occasions(period: Period) -> Counts:
    counts: Counts = Counter()
    for facts in period.logs:
        for tally in facts.tallies:
            for topic, kind in TOPICS.items():
                if tally.kind == kind:
                    counts[facts.stints[tally.stint].operator, topic] += tally.many
    return counts


def _slips(period: Period) -> Counts:
    counts: Counts = Counter()
    for facts in period.logs:
        for tally in facts.tallies:
            if tally.kind in _BY_KIND:
                counts[facts.stints[tally.stint].operator, _BY_KIND[tally.kind]] += tally.many
    counts.update(_noted(period))
    for failure in failures(period):
        if failure.cause in _BY_CAUSE:
            counts[failure.at.stint.operator, _BY_CAUSE[failure.cause]] += 1
    return counts


def _noted(period: Period) -> Iterator[tuple[str, str]]:
    for at, noted in period.noted():
        event = noted.event
        if isinstance(event, ReadBack) and not event.right:
            yield at.stint.operator, "reading"
        elif isinstance(event, Finished) and _too_early(event, at):
            yield at.stint.operator, "peel"


def _too_early(event: Finished, at: At) -> bool:
    """Before it was due by more than a guess, which is no rule."""
    if event.early_seconds is None or event.early_by_guess:
        return False
    passage = at.passage(passage_of(event.ticket))
    return passage is None or passage.wait is None or not is_guessed(passage.wait)


def helping(period: Period) -> Topic:
    """Who needs help with what?"""
    found = needed(period)
    topics: dict[str, list[str]] = defaultdict(list)
    for each in found:
        topics[each.operator].append(each.topic)
    answer: tuple[Message, ...] = tuple(
        say("answer.help.some", who=who, what=tuple(say(f"help.{topic}") for topic in what))
        for who, what in topics.items()
    ) or (say("answer.help.none", people=period.operators()),)
    rows = tuple(
        row(each.operator, say(f"help.{each.topic}"),
            say("report.of_occasions", slips=each.slips, occasions=each.occasions))
        for each in found
    )  # fmt: skip
    data = {"help": [{"operator": h.operator, "topic": h.topic} for h in found]}
    table = Table(head("who", "help_with", "seen"), rows)
    return Topic(
        Section("help", (*answer, say("report.help_reading")), table), "help", answer, data
    )
