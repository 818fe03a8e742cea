"""Who needs help with what, and hand times by person, in alphabetical order."""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterator
from statistics import median
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.plan.heat import is_guessed
from kiosk.report.answers.pace import between, cycles_by_person, hands_by_person
from kiosk.report.answers.results import failures
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.evidence import Share, Strength, stand_out
from kiosk.report.period import EventPlace, Period, StationPress, passage_of
from kiosk.report.stats import learned_rate
from kiosk.run.state import Finished, ReadBack

# By topic: the event that counts as an occasion for a slip.
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
_BY_OCCASION = {kind: [t for t, each in TOPICS.items() if each == kind] for kind in TOPICS.values()}
_BY_KIND = {
    "asked-quick": "quick",
    "not-closed": "closing",
    "never-closed": "closing",
    "was-closed": "opening",
}
_BY_CAUSE = {"laid_wrong": "laying", "wrong_pull": "pulling", "sheet_forgotten": "sheet"}


ALONE = 0.1  # a person is held against it if there are no others; common practice, no source


class HelpNeed(NamedTuple):
    """One person and one topic (`help.<topic>`).

    `alone` names the press, or presses, where nobody else worked: the press may be the cause. It is
    "" if others worked there, or if there are no others at all.
    """

    operator: str
    topic: str
    own: Share
    others: Share
    strength: Strength
    alone: str = ""


Groups = dict[tuple[str, str], dict[Hashable, Share]]


def help_needs(period: Period) -> tuple[HelpNeed, ...]:
    """Return the help that the record gives evidence for, by initials, then by topic.

    Each person is compared with the others at the same press, by topic.
    """
    groups = by_person(period)
    found = stand_out(groups, {key: key[1] for key in groups}, alone=ALONE, questions=1)
    order = {topic: nth for nth, topic in enumerate(TOPICS)}
    helps = [HelpNeed(*each.key, each.own, each.others, each.strength,
                      _alone(period, groups, each.key)) for each in found]  # fmt: skip
    return tuple(sorted(helps, key=lambda each: (each.operator, order[each.topic])))


def by_person(period: Period) -> Groups:
    """Return each person's slips among the occasions, by topic and press."""
    slips, occasions = _slips(period), _occasions(period)
    found: Groups = defaultdict(dict)
    for (person, topic, press), many in occasions.items():
        found[person, topic][press] = Share(min(slips[person, topic, press], many), many)
    return dict(found)


def _alone(period: Period, groups: Groups, key: tuple[str, str]) -> str:
    own = groups[key]
    shared = any(k != key and k[1] == key[1] and own.keys() & g.keys() for k, g in groups.items())
    if shared or len(period.operators()) == 1:
        return ""
    return ", ".join(name for press, name in period.press_names().items() if press in own)


Counts = Counter[tuple[str, str, StationPress]]


def _occasions(period: Period) -> Counts:
    counts: Counts = Counter()
    for facts in period.logs:
        for tally in facts.tallies:
            place = period.place_of(facts, tally.stint)
            for topic in _BY_OCCASION.get(tally.kind, ()) if place.stint.operator else ():
                counts[place.stint.operator, topic, place.press] += tally.many
    return counts


def _slips(period: Period) -> Counts:
    counts: Counts = Counter()
    for facts in period.logs:
        for tally in facts.tallies:
            if tally.kind in _BY_KIND:
                place = period.place_of(facts, tally.stint)
                counts[place.stint.operator, _BY_KIND[tally.kind], place.press] += tally.many
    counts.update(_slips_by_event(period))
    taken_over = {(f.station, *ticket) for f in period.logs for ticket in f.taken_over}
    for failure in failures(period):
        place = failure.place
        own_work = (place.station, place.stint.job, failure.ticket) not in taken_over
        if failure.cause in _BY_CAUSE and own_work:  # otherwise nobody knows whose it was
            counts[place.stint.operator, _BY_CAUSE[failure.cause], place.press] += 1
    return counts


def _slips_by_event(period: Period) -> Iterator[tuple[str, str, StationPress]]:
    for place, read in period.events(ReadBack):
        if not read.right:
            yield place.stint.operator, "reading", place.press
    for place, event in period.events(Finished):
        if _too_early(event, place):
            yield place.stint.operator, "peel", place.press


def _too_early(event: Finished, place: EventPlace) -> bool:
    """Return whether a peel came before it was due; a guessed wait does not count as a rule."""
    if event.early_seconds is None or event.early_by_guess:
        return False
    passage = place.passage(passage_of(event.ticket))
    return passage is None or passage.wait is None or not is_guessed(passage.wait)


def help_table(period: Period) -> Topic:
    """Return the answer to: who needs help with what?"""
    found = help_needs(period)
    helps: dict[str, list[HelpNeed]] = defaultdict(list)
    for each in found:
        helps[each.operator].append(each)
    answer: tuple[Message, ...] = tuple(
        say("answer.help.some", who=person, what=tuple(map(_help_in_words, needs)))
        for person, needs in helps.items()
    ) or (say("answer.help.none", people=period.operators()),)
    answer += tuple(
        say("answer.help.alone", who=person, press=press)
        for person, press in dict.fromkeys((h.operator, h.alone) for h in found if h.alone)
    )
    rows = tuple(
        row(each.operator, say(f"help.{each.topic}"), each.own.in_words(), each.others.in_words(),
            each.strength.say())
        for each in found
    )  # fmt: skip
    table = Table(head("who", "help_with", "seen", "others", "evidence"), rows)
    section = Section("help", (*answer, say("report.help_reading")), table)
    return Topic(section, "help", answer, lambda: {
        "help": [{"operator": h.operator, "topic": h.topic} for h in found]
    })  # fmt: skip


def _help_in_words(each: HelpNeed) -> Message:
    topic = say(f"help.{each.topic}")
    return say("answer.help.what", topic=topic, share=each.own.in_words(), word=each.strength.say())


LEARNED = 0.95  # rates above this show no learning
LEARNING = 40  # fewer cycles report no learning


def people(period: Period) -> Topic:
    """Return hand times and learning by person, each station by itself: to help, never to rank.

    For the supervisor alone; alphabetical, without totals.
    """
    found = hands_by_person(period)
    recipes = period.recipes()
    rows = tuple(
        row(key.operator, key.station, key.move.label(),
            key.move.procedure(recipes), len(seconds), median(seconds),
            between(seconds), key.move.slow)
        for key, seconds in sorted(found.items(), key=lambda e: (e[0].operator, e[0].station))
        if key.operator
    )  # fmt: skip
    learning = tuple(
        say(
            "report.learning",
            who=person,
            station=station,
            recipe=recipes.get(recipe, recipe),
            percent=round(100 * rate),
        )
        for (person, station, recipe, *_), seconds in sorted(cycles_by_person(period).items())
        if person and len(seconds) >= LEARNING and min(seconds) > 0
        if (rate := learned_rate(seconds)) <= LEARNED
    )
    columns = head("who", "station", "move", "recipe", "n", "median_s", "between_s", "slow_s")
    reading = (say("report.people_reading"), *learning)
    return Topic(Section("people", reading, Table(columns, rows)))
