"""Overrides, judgements and hand-overs, by whom and why; and everything unusual."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from kiosk.catalog.base import Message, Pressure, Value, recorded_word, say
from kiosk.log.facts import JobStart
from kiosk.plan.phrases import pressure_words
from kiosk.report.content import EMPTY, Cell, Section, Table, Topic, head, row
from kiosk.report.period import Period
from kiosk.run.facts import PEEL, needs_supervisor
from kiosk.run.state import (
    ASIDE_REASONS,
    OVERRIDE_REASONS,
    RULING_REASONS,
    SKIP_REASONS,
    Event,
    TicketStage,
    cause_word,
    defect_word,
)
from kiosk.run.state import events as e
from kiosk.run.state import events_shift as sh
from kiosk.run.state import events_station as st

DECIDED: dict[str, Message] = {
    **{why: say(f"page.override.{why}") for why in OVERRIDE_REASONS},
    **{why: say(f"page.reason.{why}") for why in RULING_REASONS},
}
"""Supervisors' reasons, as the station asks for them."""
_WHY: Mapping[str, Mapping[str, Message]] = {
    "skipped": {why: say(f"page.skip.{why}") for why in SKIP_REASONS},
    "aside": {why: say(f"page.aside.{why}") for why in ASIDE_REASONS},
    "stopped": {"row changed": say("report.row_changed")},
}
"""Known reasons for unusual events, by kind."""
_HOLDS = {st.Held: "held", e.SetAside: "aside", e.Skipped: "skipped", e.Stopped: "stopped"}


class Override(NamedTuple):
    """One override: what (`report.override.<what>`), about which garment or press, who, why.

    `job` is set for a garment, whose ticket is in `about`.
    """

    what: str
    about: str
    who: str
    why: str
    job: str = ""


def overrides(period: Period) -> tuple[Override, ...]:
    """Return the shifts' overrides, log by log, then those that jobs began with."""
    events = ((r.event, place.stint.job) for place, r in period.reported_events())
    found = [each for event, job in events for each in _overrides_in(event, job)]
    for facts in period.logs:
        for job, job_start in facts.jobs.items():
            if any(shift.first <= job_start.seq <= shift.last for shift in facts.shifts):
                found += by_pin(job, job_start)
    return tuple(found)


def by_pin(job: str, job_start: JobStart) -> Iterator[Override]:
    """Yield what a supervisor's PIN allowed when a job began; whose it was is not recorded."""
    if job_start.accepted_questions:
        yield Override("questions", job, "", str(job_start.accepted_questions))
    if needs_supervisor(job_start.plan):
        yield Override("no_margin", job, "", "")


def _overrides_in(event: Event, job: str) -> Iterator[Override]:
    if isinstance(event, sh.RepressAllowed):
        yield Override("repress", event.ticket, event.supervisor, event.reason, job)
    elif isinstance(event, sh.Ruled):
        what = _ruling_id(event.stage)
        yield Override(what, event.ticket, event.supervisor, event.reason, job)
    elif isinstance(event, sh.Overridden):
        what = event.what.name.lower()
        yield Override(what, event.about, event.supervisor, event.reason)
    elif isinstance(event, sh.FirstArticleJudged) and (
        event.approved and event.approver == event.pressed_by
    ):
        yield Override("own_article", event.ticket, event.approver, "", job)


def _ruling_id(stage: TicketStage) -> str:
    return f"ruled_{stage.name.lower()}"


def ruling_in_words(kind: str, why: str) -> tuple[Message, Message | str]:
    """Return a recorded ruling (`ruled scrap`) as a message, and its reason."""
    kind_of_event, _, subject = kind.partition(" ")
    what = "repress"
    if kind_of_event == "ruled":
        what = _ruling_id(TicketStage(subject))
    elif subject:
        what = sh.Overruled(subject).name.lower()
    return say(f"report.override.{what}"), _reason(DECIDED, why)


def override_table(period: Period) -> Topic:
    """Return the answer to: what was overridden, by whom, why?"""
    found = overrides(period)
    rows = tuple(
        row(say(f"report.override.{each.what}"), _about(each, period), each.who or EMPTY,
            reason_in_words(each))
        for each in found
    )  # fmt: skip
    answer = tuple(_answer(found)) or (say("answer.overridden.none"),)
    table = Table(head("what", "about", "who", "why"), rows)
    return Topic(Section("overrides", answer, table), "overridden", answer, lambda: {
        "overrides": [{"what": o.what, "about": o.about, "who": o.who, "why": o.why} for o in found]
    })  # fmt: skip


def _answer(found: tuple[Override, ...]) -> Iterator[Message]:
    for what, count in Counter(each.what for each in found).most_common():
        same = [each for each in found if each.what == what]
        values: dict[str, Value] = {"what": say(f"report.override.{what}"), "count": count}
        if what in ("questions", "no_margin"):
            yield say("answer.overridden.by_pin", **values)
        else:
            who = tuple(dict.fromkeys(each.who for each in same if each.who)) or (EMPTY,)
            reasons = dict.fromkeys(each.why for each in same if each.why)
            why = tuple(_reason(DECIDED, text) for text in reasons) or (EMPTY,)
            yield say("answer.overridden.some", **values, who=who, why=why)


def _about(each: Override, period: Period) -> Cell:
    """Return a garment by line, a cause by its word, a press or job by name."""
    titles = period.titles()
    if each.job:
        line = each.about.rsplit("/", 2)[0]
        return say("report.about_line", job=titles.get(each.job, each.job), line=line)
    if each.what == sh.Overruled.SCRAP_LIMIT.name.lower():
        return cause_word(each.about)
    if each.what == sh.Overruled.CLAIMS.name.lower() and not each.about:
        return say("station.its_copy")
    return article_in_words(titles.get(each.about, each.about), period.sheets())


def reason_in_words(each: Override) -> Cell:
    """Return an override's reason as a table cell."""
    if each.what == "questions":
        return say("report.questions", count=int(each.why))
    return _reason(DECIDED, each.why)


def _reason(reasons: Mapping[str, Message], text: str) -> Message | str:
    return reasons.get(text) or text or say("report.no_reason")


_PRESSURES = {each.word: each for each in Pressure}
_WORD = f"({'|'.join(_PRESSURES)})"
_ARTICLE = re.compile(rf"(\d+) ([FC]), (\d+) s, {_WORD} to {_WORD}, (.+)")


def article_in_words(article: str, titles: Mapping[str, str]) -> Message:
    """Return a recorded article (setting, fabric and materials) as a message.

    `titles` gives the titles of fabrics and materials, by key.
    """
    found = _ARTICLE.fullmatch(article)
    if found is None:
        return say("report.article_as_written", text=article)
    temperature, unit, seconds, low, high, keys = found.groups()
    pressure = pressure_words(_PRESSURES[low], _PRESSURES[high])
    articles = tuple(titles.get(key, key) for key in keys.split(", "))
    return say("report.article", temperature=f"{temperature} °{unit}", seconds=int(seconds),
               pressure=pressure, articles=articles)  # fmt: skip


# Other events that a supervisor looks at; `exception.<id>` is the message.
EXCEPTIONS: Mapping[str, str] = {
    "was-closed": "short",
    "unasked-closing": "unasked",
    "outcome-unknown": "unknown",
    "stopped": "stopped",
    "set-aside": "aside",
    "skipped": "skipped",
    "not-closed": "not_closed",
    "never-closed": "never_closed",
    "told-pressed": "told_pressed",
    "taken-back": "taken_back",
    "refused": "refused",
    "wall-clock-moved": "clock_moved",
    "verification-lapsed": "lapsed",
}


def holds(period: Period) -> Topic:
    """Return unplanned holds with their reasons and minutes, and all other unusual events."""
    counts: Counter[str] = Counter()
    for facts in period.logs:
        for tally in facts.tallies:
            counts[EXCEPTIONS.get(tally.kind, "")] += tally.many
    counts["wrong_read"] = len(period.events(e.ReadBack))
    reasons = Counter(
        (_HOLDS[type(n.event)], str(getattr(n.event, "reason", "")))
        for _, n in period.reported_events()
        if type(n.event) in _HOLDS
    )
    minutes = sum(
        t.seconds for f in period.logs for t in f.tallies if t.kind == "restarted"
    ) / 60  # fmt: skip
    hold_count = len(period.events(st.Held))
    kinds_with_reason = {kind for kind, _ in reasons}
    rows = tuple(
        row(say(f"exception.{kind}"), "", n)
        for kind, n in counts.most_common()
        if kind and n and kind not in kinds_with_reason
    )
    rows += tuple(
        row(say(f"exception.{kind}"), _reason(_WHY.get(kind, {}), why), n)
        for (kind, why), n in reasons.most_common()
    )
    reading = (say("report.holds_reading", count=hold_count, minutes=round(minutes)),)
    table = Table(head("what", "why", "count"), rows)
    return Topic(Section("holds", reading, table), data=lambda: {
        "exceptions": {k: n for k, n in counts.items() if k and n},
        "holds": {"count": hold_count, "minutes": round(minutes, 1)},
    })  # fmt: skip


def articles(period: Period) -> Topic:
    """Return the first garments: verdict, approver, inches off, and defects."""
    found = [event for _, event in period.events(sh.FirstArticleJudged)]
    rows = tuple(
        row(
            article_in_words(each.article, period.sheets()),
            say("report.approved" if each.approved else "report.not_approved"),
            each.approver,
            _inches(each),
            tuple(map(defect_word, each.faults)),
        )
        for each in found
    )
    approved = sum(each.approved for each in found)
    reading = say("report.articles_reading", approved=approved, of=len(found))
    columns = head("article", "verdict", "who", "off_inches", "defect")
    return Topic(Section("articles", (reading,), Table(columns, rows)), data=lambda: {
        "first_articles": {"approved": approved, "of": len(found)}
    })  # fmt: skip


def trials(period: Period) -> Topic:
    """Return the trials of guessed settings: article, verdict, tester, and defects."""
    found = [event for _, event in period.events(sh.TrialJudged)]
    rows = tuple(
        row(
            tuple(article_in_words(one, period.sheets()) for one in each.articles),
            say("report.passed" if each.passed else "report.trial_failed"),
            each.by,
            say("report.trial_piece" if not each.ticket else "report.trial_garment"),
            tuple(
                say("page.lot.found.peel") if fault == PEEL else defect_word(fault)
                for fault in each.faults
            ),
        )
        for each in found
    )
    passed = sum(each.passed for each in found)
    reading = say("report.trials_reading", passed=passed, of=len(found))
    columns = head("article", "verdict", "who", "about", "defect")
    return Topic(Section("trials", (reading,), Table(columns, rows)), data=lambda: {
        "trials": {"passed": passed, "of": len(found)}
    })  # fmt: skip


def _inches(each: sh.FirstArticleJudged) -> str:
    off = (each.across_inches, each.along_inches)
    return " / ".join(EMPTY if inches is None else f"{inches:+.2f}" for inches in off)


def handovers(period: Period) -> Topic:
    """Return the hand-overs that have notes or name the next operator."""
    found = [event for _, event in period.events(st.HandedOver)]
    listed = [each for each in found if each.notes or each.to]
    rows = tuple(
        row(each.operator, each.to or EMPTY,
            _press_checked(each),
            tuple(recorded_word("handover", note) for note in each.notes))
        for each in listed
    )  # fmt: skip
    with_notes = sum(bool(each.notes) for each in found)
    reading = say("report.handovers_reading", told=with_notes, count=len(found))
    table = Table(head("who", "to", "press_checked", "open_questions"), rows)
    return Topic(Section("handovers", (reading,), table), data=lambda: {
        "handovers": [{"from": a.operator, "to": a.to, "notes": list(a.notes)} for a in listed]
    })  # fmt: skip


def _press_checked(each: st.HandedOver) -> Cell:
    """Return whether the press was checked; EMPTY if the job had already been put back."""
    if each.setting is None:
        return EMPTY
    return say("report.passed" if each.verified else "report.not_checked")
