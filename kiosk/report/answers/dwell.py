"""How long the press was really closed: only openings that were told or measured say it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from statistics import fmean, stdev

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import GUESS, Source, source_told
from kiosk.plan.model import Pass, Phase, Plan, Step
from kiosk.report.answers.results import LEAST
from kiosk.report.content import Section, Table, Topic, control_chart, head, row
from kiosk.report.period import Period
from kiosk.report.stats import Signal, capability, individuals, signals
from kiosk.run.state import Seen

OFF_SECONDS = 1.0  # a mean so far from the set time is told; common practice, no source


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening whose moment is known: `over` seconds after the set time (below 0: before).

    `room` is how many seconds below and above the set time the plan allows, None where it
    does not say. `limit_by` are the sources of a tack's limit.
    """

    wall: float
    set_seconds: float
    over: float
    seen: Seen
    most_seconds: int | None
    room: tuple[float, float] | None = None
    limit_by: tuple[Source, ...] = ()


def openings(period: Period, phase: Phase) -> tuple[Opening, ...]:
    """Return the openings of a phase that were told or measured, in order of time."""
    found = []
    for facts in period.logs:
        for each in facts.closings:
            at = period.at(facts, each.stint)
            step = at.step(each.passage, each.step)
            if step is not None and step.phase is phase:
                room = _room(at.plan, at.passage(each.passage), step)
                by = _tack_sources(at.plan, at.passage(each.passage), step)
                found += [
                    Opening(*told, each.opening, step.most_seconds, room, by)
                    for told in each.openings
                ]
    return tuple(sorted(found, key=lambda opening: opening.wall))


def _room(plan: Plan | None, passage: Pass | None, step: Step) -> tuple[float, float] | None:
    """The seconds usable at this temperature, where the plan tells them: for the first final."""
    if plan is None or passage is None or passage.group or step.phase is not Phase.FINAL:
        return None
    temperature = step.temperature or 0
    usable = [
        span
        for panel in plan.settings
        if panel.panel == passage.panel
        for span in panel.usable
        if span.temperature_low <= temperature <= span.temperature_high
    ]
    if not usable or step.seconds is None:
        return None
    return usable[0].dwell_low - step.seconds, usable[0].dwell_high - step.seconds


def _tack_sources(plan: Plan | None, passage: Pass | None, step: Step) -> tuple[Source, ...]:
    """Where the limit of a tack comes from, by the materials that it is for."""
    if plan is None or passage is None or step.phase is not Phase.TACK:
        return ()
    pieces = {(p.panel, p.name): p.material for p in plan.pieces}
    keys = (pieces.get((passage.panel, name), "") for name in step.pieces)
    return tuple(dict.fromkeys(plan.sources.of_material(key).of("tack") for key in keys))


def closings_by_phase(period: Period) -> Counter[tuple[Phase, Seen, Seen]]:
    """Return how many closings of each phase are known how: (phase, closing, opening)."""
    counts: Counter[tuple[Phase, Seen, Seen]] = Counter()
    for facts in period.logs:
        for each in facts.closings:
            step = period.at(facts, each.stint).step(each.passage, each.step)
            if step is not None:
                counts[step.phase, each.closing, each.opening] += each.many
    return counts


def seen(period: Period) -> Topic:
    """Closings and openings by how they are known; never added up."""
    counts = closings_by_phase(period)
    rows = tuple(
        row(say(f"phase.{phase.value}"), *(_of(counts, phase, 1, s) for s in Seen if s is not _NOT),
            *(_of(counts, phase, 2, s) for s in Seen))
        for phase in dict.fromkeys(key[0] for key in sorted(counts, key=lambda k: k[0].value))
    )  # fmt: skip
    columns = ("phase", "closed_declared", "closed_measured", "closed_told", "opened_declared",
               "opened_measured", "opened_told", "opened_not_seen")  # fmt: skip
    data = {
        "closings": {s.value: _of(counts, None, 1, s) for s in Seen if s is not _NOT},
        "openings": {s.value: _of(counts, None, 2, s) for s in Seen},
    }
    section = Section("times", (say("report.times_reading"),), Table(head(*columns), rows))
    return Topic(section, data=data)


_NOT = Seen.NOT_SEEN


def _of(counts: Counter[tuple[Phase, Seen, Seen]], phase: Phase | None, at: int, how: Seen) -> int:
    """So many closings of a phase (None: of all) whose closing (1) or opening (2) is known so."""
    return sum(n for key, n in counts.items() if phase in (None, key[0]) and key[at] is how)


def dwell(period: Period) -> Topic:
    """The dwell of the final press on an individuals chart."""
    found = openings(period, Phase.FINAL)
    unseen = _of(closings_by_phase(period), Phase.FINAL, 2, _NOT)
    told = _told(period)
    if len(found) < 2:
        return Topic(Section("dwell", (say("report.dwell_not_seen", count=unseen), *told)))
    over = [opening.over for opening in found]
    limits = individuals(over)
    signs = signals([(v - limits.centre) / limits.sigma for v in over]) if limits.sigma else ()
    how = Counter(opening.seen for opening in found)
    reading = (
        say("report.dwell_known", measured=how[Seen.MEASURED], declared=how[Seen.DECLARED],
            not_seen=unseen),
        *((say("report.dwell_selected"),) if unseen > len(found) else ()),
        *told,
        _suggests(signs, fmean(over)),
        *_capability(found),
    )  # fmt: skip
    chart = control_chart(tuple(over), tuple([limits] * len(over)), signs, "s")
    data = {"dwell_over_s": {"n": len(over), "mean": round(limits.centre, 3),
                             "lower": round(limits.lower, 3), "upper": round(limits.upper, 3),
                             "signals": [[s.rule, s.at] for s in signs]}}  # fmt: skip
    return Topic(Section("dwell", reading, chart=chart), data=data)


def _told(period: Period) -> tuple[Message, ...]:
    """Finals that were pressed without a tap: their seconds are a person's word."""
    told = _of(closings_by_phase(period), Phase.FINAL, 1, Seen.TOLD)
    return (say("report.dwell_told", count=told),) if told else ()


def _suggests(signs: tuple[Signal, ...], mean: float) -> Message:
    if not signs:
        off = abs(mean) >= OFF_SECONDS
        return say("report.dwell_off" if off else "report.dwell_steady", mean=f"{mean:+.1f}")
    worst = min(signs, key=lambda sign: sign.rule)
    longer = sum(sign.above for sign in signs) * 2 >= len(signs)
    word = "report.dwell_longer" if longer else "report.dwell_shorter"
    return say(word, count=len(signs), rule=say(f"report.rule.{worst.rule}"), mean=f"{mean:+.1f}")


def _capability(found: tuple[Opening, ...]) -> tuple[Message, ...]:
    """Against what the plan allows, where it is the same for all and enough was seen."""
    rooms = {opening.room for opening in found}
    over = [opening.over for opening in found]
    room = rooms.pop() if len(rooms) == 1 else None
    if room is None or len(over) < LEAST or stdev(over) == 0:
        return ()
    able = capability(*room, fmean(over), stdev(over))
    values = {"low": f"{room[0]:+g}", "high": f"{room[1]:+g}"}
    cp, cpk = f"{able.cp:.2f}", f"{able.cpk:.2f}"
    return (say("report.dwell_capability", **values, cp=cp, cpk=cpk),)


def tack(period: Period) -> Topic:
    """Is the tack too long?"""
    found = openings(period, Phase.TACK)
    counts = closings_by_phase(period)
    closed = sum(n for key, n in counts.items() if key[0] is Phase.TACK)
    if not closed:
        answer = say("answer.tack.no_tack")
    elif not found:
        answer = say("answer.tack.not_seen", count=closed)
    else:
        answer = _tack(found)
    rows = tuple(
        row(f"{set_seconds:g} s", len(group), f"{fmean(o.set_seconds + o.over for o in group):.1f}",
            f"{max(o.set_seconds + o.over for o in group):.1f}",
            sum(_beyond(o) for o in group))
        for set_seconds in sorted({o.set_seconds for o in found})
        for group in ([o for o in found if o.set_seconds == set_seconds],)
    )  # fmt: skip
    table = Table(head("set_s", "n", "mean_s", "longest_s", "beyond_limit"), rows)
    data = {"tack": {"closings": closed, "seen": len(found),
                     "beyond_limit": sum(_beyond(o) for o in found)}}  # fmt: skip
    return Topic(Section("tack", (answer,), table), "tack", (answer,), data)


def _beyond(opening: Opening) -> bool:
    most = opening.most_seconds
    return most is not None and opening.set_seconds + opening.over > most


def _tack(found: tuple[Opening, ...]) -> Message:
    mean = fmean(o.set_seconds + o.over for o in found)
    planned = fmean(o.set_seconds for o in found)
    beyond = sum(_beyond(o) for o in found)
    word = "answer.tack.too_long" if beyond * 10 > len(found) else "answer.tack.right"
    sources = dict.fromkeys(source for o in found for source in o.limit_by)
    return say(
        word,
        mean=f"{mean:.1f}",
        planned=f"{planned:.1f}",
        beyond=beyond,
        count=len(found),
        source=tuple(source_told(source) for source in sources or (GUESS,)),
    )
