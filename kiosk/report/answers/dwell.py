"""How long the press was really closed, from openings that were tapped or measured."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from statistics import fmean, stdev
from typing import NamedTuple

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Source
from kiosk.plan.model import Pass, Phase, Plan, Step
from kiosk.report.content import Section, Table, Topic, control_chart, head, row
from kiosk.report.evidence import LEAST, Interval
from kiosk.report.period import Period, once
from kiosk.report.stats import Chart, Signal, capability, index_interval, individuals, values_chart
from kiosk.run.state import TimeSource

OFF_SECONDS = 1.0  # a mean this far from the set time is reported; common practice, no source


class Opening(NamedTuple):
    """One opening at a known moment, `over` seconds after the set time (negative: before it).

    `allowed` is the range that the plan allows around the set time (seconds below, as a negative
    number, and above), None if it gives none. `limit_sources` are the sources of a tack's limit.
    """

    wall: float
    set_seconds: float
    over: float
    source: TimeSource
    most_seconds: int | None
    station: str
    allowed: tuple[float, float] | None = None
    limit_sources: tuple[Source, ...] = ()


def openings(period: Period, phase: Phase) -> tuple[Opening, ...]:
    """Return the tapped or measured openings of a phase, oldest first."""
    found = []
    for facts in period.logs:
        for each in facts.closings:
            place = period.place_of(facts, each.stint)
            step = place.step(each.passage, each.step)
            if step is not None and step.phase is phase:
                allowed = _allowed_range(place.plan, place.passage(each.passage), step)
                limit_sources = _tack_sources(place.plan, place.passage(each.passage), step)
                found += [
                    Opening(
                        *times,
                        each.opening,
                        step.most_seconds,
                        place.station,
                        allowed,
                        limit_sources,
                    )
                    for times in each.openings
                ]
    return tuple(sorted(found, key=lambda opening: opening.wall))


Group = tuple[str, TimeSource]  # station, how its openings are known


def grouped(found: Sequence[Opening]) -> dict[Group, list[Opening]]:
    """Return openings by station and by how they are known; the two are never averaged together."""
    groups: dict[Group, list[Opening]] = defaultdict(list)
    for opening in found:
        groups[opening.station, opening.source].append(opening)
    return dict(groups)


def _allowed_range(
    plan: Plan | None, passage: Pass | None, step: Step
) -> tuple[float, float] | None:
    """Return the range allowed around the set time, for finals of the first group; else None."""
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
    """Return the sources of a tack's limit: those of the materials it tacks."""
    if plan is None or passage is None or step.phase is not Phase.TACK:
        return ()
    pieces = {(p.panel, p.name): p.material for p in plan.pieces}
    keys = (pieces.get((passage.panel, name), "") for name in step.pieces)
    return tuple(dict.fromkeys(plan.sources.of_material(key).of("tack") for key in keys))


@once
def closings_by_phase(period: Period) -> Counter[tuple[Phase, TimeSource, TimeSource]]:
    """Return the number of closings by (phase, how the closing is known, how the opening is)."""
    counts: Counter[tuple[Phase, TimeSource, TimeSource]] = Counter()
    for facts in period.logs:
        for each in facts.closings:
            step = period.place_of(facts, each.stint).step(each.passage, each.step)
            if step is not None:
                counts[step.phase, each.closing, each.opening] += each.many
    return counts


def closing_sources(period: Period) -> Topic:
    """Return counts of closings and openings by how they are known, never added up."""
    counts = closings_by_phase(period)
    rows = tuple(
        row(say(f"phase.{phase.value}"),
            *(_count(counts, phase, 1, s) for s in TimeSource if s is not _NOT),
            *(_count(counts, phase, 2, s) for s in TimeSource))
        for phase in dict.fromkeys(key[0] for key in sorted(counts, key=lambda k: k[0].value))
    )  # fmt: skip
    columns = ("phase", "closed_declared", "closed_measured", "closed_told", "opened_declared",
               "opened_measured", "opened_told", "opened_not_seen")  # fmt: skip
    section = Section("times", (say("report.times_reading"),), Table(head(*columns), rows))
    return Topic(section, data=lambda: {
        "closings": {s.value: _count(counts, None, 1, s) for s in TimeSource if s is not _NOT},
        "openings": {s.value: _count(counts, None, 2, s) for s in TimeSource},
    })  # fmt: skip


_NOT = TimeSource.NOT_SEEN


def _count(
    counts: Counter[tuple[Phase, TimeSource, TimeSource]],
    phase: Phase | None,
    key_index: int,
    source: TimeSource,
) -> int:
    """Count a phase's closings (None: of all); `key_index` 1: closing, 2: opening, by `source`."""
    return sum(
        n for key, n in counts.items() if phase in (None, key[0]) and key[key_index] is source
    )


def dwell(period: Period) -> Topic:
    """Return the dwell of finals, on individuals charts by station and by how it is known."""
    groups = grouped(openings(period, Phase.FINAL))
    unseen = _count(closings_by_phase(period), Phase.FINAL, 2, _NOT)
    note = _entered_without_tap(period)
    charts = {
        key: values_chart([opening.over for opening in found])
        for key, found in groups.items()
        if len(found) > 1
    }
    if not groups:
        return Topic(Section("dwell", (say("report.dwell_not_seen", count=unseen), *note)))
    count = sum(map(len, groups.values()))
    by_source = Counter(
        {source: sum(len(g) for k, g in groups.items() if k[1] is source) for source in TimeSource}
    )
    reading = (
        say("report.dwell_known", measured=by_source[TimeSource.MEASURED],
            declared=by_source[TimeSource.DECLARED], not_seen=unseen),
        *((say("report.dwell_selected"),) if unseen > count else ()),
        *note,
        *(line for key in groups for line in _group_lines(key, groups[key], charts.get(key))),
    )  # fmt: skip
    if not charts:
        return Topic(Section("dwell", reading))
    drawn = max(charts, key=lambda key: (len(charts[key].signals), len(groups[key])))
    over = tuple(opening.over for opening in groups[drawn])
    chart = control_chart(over, charts[drawn], "s", name_of(drawn))
    return Topic(Section("dwell", reading, chart=chart), data=lambda: {
        "dwell_over_s": [_data(key, groups[key], charts[key]) for key in charts]
    })  # fmt: skip


def name_of(group: Group) -> Message:
    """Return the name of a group: its station, and how its openings are known."""
    return say(
        "report.chart.dwell", station=group[0], seen=say(f"report.seen.{group[1].name.lower()}")
    )


def _group_lines(group: Group, found: list[Opening], chart: Chart | None) -> Iterator[Message]:
    """Yield the sentences about one group; a single opening has no chart."""
    over = [opening.over for opening in found]
    if chart is None:
        yield say("report.dwell_one", of=name_of(group), over=f"{over[0]:+.1f}")
        return
    yield say("report.dwell_group", of=name_of(group), count=len(over))
    yield _signal_message(chart.signals, fmean(over))
    yield from _capability(found)


def _data(group: Group, found: list[Opening], chart: Chart) -> dict[str, object]:
    limits, over = chart.limits[0], [opening.over for opening in found]
    return {"station": group[0], "seen": group[1].value, "n": len(over),
            "mean": round(fmean(over), 3), "lower": round(limits.lower, 3),
            "upper": round(limits.upper, 3),
            "signals": [[s.rule, s.nth] for s in chart.signals]}  # fmt: skip


def _entered_without_tap(period: Period) -> tuple[Message, ...]:
    """Return a note on finals entered without a tap, whose seconds are the operator's word."""
    count = _count(closings_by_phase(period), Phase.FINAL, 1, TimeSource.TOLD)
    return (say("report.dwell_told", count=count),) if count else ()


def _signal_message(signs: tuple[Signal, ...], mean: float) -> Message:
    if not signs:
        off = abs(mean) >= OFF_SECONDS
        return say("report.dwell_off" if off else "report.dwell_steady", mean=f"{mean:+.1f}")
    longer = sum(sign.above for sign in signs) * 2 >= len(signs)
    worst = min(sign.rule for sign in signs if sign.above is longer)
    word = "report.dwell_longer" if longer else "report.dwell_shorter"
    return say(word, count=len(signs), rule=say(f"report.rule.{worst}"), mean=f"{mean:+.1f}")


def _capability(found: Sequence[Opening]) -> Iterator[Message]:
    """Yield the capability against the plan's range, if it is the same for all openings."""
    ranges = {opening.allowed for opening in found}
    over, count = [opening.over for opening in found], len(found)
    allowed = ranges.pop() if len(ranges) == 1 else None
    by_ranges = individuals(over).sigma
    if allowed is None or count < LEAST or not by_ranges:
        return
    within = capability(*allowed, fmean(over), by_ranges)
    overall = capability(*allowed, fmean(over), stdev(over))
    yield say(
        "report.dwell_capability",
        low=f"{allowed[0]:+g}",
        high=f"{allowed[1]:+g}",
        cpk=f"{within:.2f}",
        cpk_between=_between(index_interval(within, count, by_ranges=True)),
        ppk=f"{overall:.2f}",
        ppk_between=_between(index_interval(overall, count)),
    )


def _between(interval: Interval) -> str:
    return f"{interval.low:.2f}–{interval.high:.2f}"
