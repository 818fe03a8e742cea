"""The ratios of ISO 22400-2 for the shifts read, each element with its source in the log."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.report.answers.counts import JobCount
from kiosk.report.answers.results import HIDDEN, LEAST, failures, reworked
from kiosk.report.content import Section, Table, Topic, head, row
from kiosk.report.period import Period
from kiosk.report.stats.iso import RATIOS, Elements

SETTING_UP = frozenset({"setting-read", "press-verified", "first-article-judged"})
"""The time until one of these was set-up."""
_TIMES = ("pbt", "aubt", "apt", "asut", "aupt", "aoet", "pru")


def elements(period: Period, jobs: tuple[JobCount, ...], busy_seconds: float | None) -> Elements:
    """Return what the log knows of the standard's elements; `busy_seconds` was typed in."""
    total = setup = idle = 0.0
    for facts in period.logs:
        for tally in facts.tallies:
            if not facts.stints[tally.stint].job:
                continue
            total += tally.seconds
            if tally.kind in SETTING_UP:
                setup += tally.seconds
            else:
                idle += tally.idle_seconds
    made = sum(each.made for each in jobs)
    production = total - setup - idle
    return Elements(
        pbt=busy_seconds,
        aubt=total,
        apt=production,
        asut=setup,
        aupt=production + setup,
        aoet=sum(s for facts in period.logs for s in facts.ordered_seconds.values()),
        pq=made,
        gq=sum(each.good + each.accepted for each in jobs),
        sq=sum(each.scrap for each in jobs),
        rq=reworked(failures(period)),
        ip=made,
        gp=sum(each.first_pass for each in jobs),
        pru=_planned_unit(jobs),
    )


def _planned_unit(jobs: tuple[JobCount, ...]) -> float | None:
    """Seconds that the plans give one garment, in the middle of their range."""
    made = sum(each.made for each in jobs)
    total = sum(each.made * (each.planned.low + each.planned.high) / 2 for each in jobs)
    return total / made if made else None


def ratios(period: Period, jobs: tuple[JobCount, ...], busy_seconds: float | None = None) -> Topic:
    """The ratios by the standard's names; below 20 garments counts only."""
    known = elements(period, jobs, busy_seconds)
    enough = (known.pq or 0) >= LEAST
    values = {name: ratio(known) for name, ratio in RATIOS.items()}
    rows = [
        row(
            say(f"iso.{name}"),
            _shown(name, value) if enough else HIDDEN,
            say(f"iso.formula.{name}"),
        )
        for name, value in values.items()
        if value is not None
    ]
    rows += [
        row(say(f"iso.element.{name}"), _element(name, value), say(f"iso.source.{name}"))
        for name in Elements.__slots__
        if (value := getattr(known, name)) is not None
    ]
    data = {
        "elements": {n: getattr(known, n) for n in Elements.__slots__},
        "ratios": {n: v if enough else None for n, v in values.items() if v is not None},
    }
    reading = (*_reading(known, enough), *_left_out(known))
    return Topic(
        Section("ratios", reading, Table(head("ratio", "value", "source"), tuple(rows))), data=data
    )


def _reading(known: Elements, enough: bool) -> tuple[Message, ...]:
    part, whole = int(known.gp or 0), int(known.ip or 0)
    if not enough:
        return (say("report.first_pass_few", part=part, whole=whole, least=LEAST),)
    return (say("report.first_pass", part=part, whole=whole, percent=round(100 * part / whole)),)


def _left_out(known: Elements) -> tuple[Message, ...]:
    return () if known.pbt is not None else (say("report.no_busy_time"),)


def _shown(name: str, value: float) -> str:
    return f"{3600 * value:.1f}/h" if name == "throughput_rate" else f"{100 * value:.1f} %"


def _element(name: str, value: float) -> str:
    if name == "pru":
        return f"{value:.0f} s"
    return f"{value / 60:.1f} min" if name in _TIMES else f"{value:.0f}"
