"""Checks of the press and their drift; what must be looked at again since the last good one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import sqrt
from statistics import linear_regression

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import Marked, Pulled
from kiosk.report.content import ControlChart, Section, Table, Topic, control_chart, head, row
from kiosk.report.period import Period
from kiosk.report.stats import Signal, individuals, signals
from kiosk.run.state import PressVerified

ENOUGH = 5  # checks of a press below which no drift is told
NAMED = 10  # garments named in a sentence

History = dict[str, list[PressVerified]]


def history(period: Period) -> History:
    """Return the checks of each press, oldest first, those before the shifts too."""
    found: History = defaultdict(list)
    for facts in period.logs:
        for _, check in facts.checks:
            found[check.press].append(check)
    return {press: sorted(c, key=lambda e: e.at.wall) for press, c in sorted(found.items())}


def drift(period: Period) -> Topic:
    """Is the press drifting?"""
    found = history(period)
    worst = sorted(found.items(), key=lambda item: (item[1][-1].passed, not _drifts(item[1])))
    answer = tuple(_of_press(press, checks) for press, checks in worst)
    verdict = {True: say("report.passed"), False: say("report.failed")}
    rows = tuple(
        row(press, len(checks), checks[-1].temperature, f"{checks[0].offset:+.1f}",
            f"{checks[-1].offset:+.1f}", f"±{checks[-1].offset_most:g}",
            f"{checks[-1].spread:g} / {checks[-1].spread_most:g}", verdict[checks[-1].passed])
        for press, checks in found.items()
    )  # fmt: skip
    columns = ("press", "n", "set", "first_offset", "last_offset", "most", "spread", "verdict")
    shown = answer or (say("answer.drift.none"),)
    data = {
        "checks": {
            press: {"offsets": [c.offset for c in checks], "last_passed": checks[-1].passed}
            for press, checks in found.items()
        }
    }
    section = Section("checks", shown, Table(head(*columns), rows), _chart(found))
    return Topic(section, "drift", shown, data)


def _drifts(checks: list[PressVerified]) -> bool:
    return bool(_signs(checks)) or _trend(checks)


def _trend(checks: list[PressVerified]) -> bool:
    """Whether the offsets go one way: a slope of more than three standard errors that matters.

    It matters where the whole way is half of what is allowed. Common practice, no source.
    """
    count = len(checks)
    if count < ENOUGH:
        return False
    places, offsets = range(count), [check.offset for check in checks]
    slope, start = linear_regression(places, offsets)
    way = abs(slope) * (count - 1)
    left = sum((o - start - slope * n) ** 2 for n, o in zip(places, offsets, strict=True))
    spread = sum((n - (count - 1) / 2) ** 2 for n in places)
    error = sqrt(left / (count - 2) / spread)
    return way >= checks[-1].offset_most / 2 and abs(slope) > 3 * error


def _signs(checks: list[PressVerified]) -> tuple[Signal, ...]:
    offsets = [check.offset for check in checks]
    if len(offsets) < ENOUGH:
        return ()
    limits = individuals(offsets)
    if not limits.sigma:
        return ()
    return signals([(offset - limits.centre) / limits.sigma for offset in offsets])


def _of_press(press: str, checks: list[PressVerified]) -> Message:
    last, unit = checks[-1], checks[-1].unit.value
    values: dict[str, Value] = {
        "press": press,
        "first": f"{checks[0].offset:+.1f}",
        "last": f"{last.offset:+.1f}",
        "unit": unit,
        "count": len(checks),
        "most": f"{last.offset_most:g}",
    }
    if not last.passed:
        return say("answer.drift.failed", **values)
    if _drifts(checks):
        return say("answer.drift.drifting", **values)
    if len(checks) < ENOUGH:
        return say("answer.drift.few", **values, least=ENOUGH)
    return say("answer.drift.steady", **values)


def _chart(found: History) -> ControlChart | None:
    """The press that shows most; where none does the one that was checked most often."""
    told = [checks for checks in found.values() if len(checks) >= ENOUGH]
    if not told:
        return None
    checks = max(told, key=lambda each: (_trend(each), len(_signs(each)), len(each)))
    offsets = tuple(check.offset for check in checks)
    limits = individuals(offsets)
    return control_chart(
        offsets, tuple([limits] * len(offsets)), _signs(checks), f"°{checks[-1].unit.value}"
    )


def recheck(period: Period) -> Topic:
    """What must be looked over again?"""
    pulled = tuple(each for facts in period.logs for each in facts.pulled)
    marked = tuple(each for facts in period.logs for each in facts.marked)
    by_press: dict[str, list[Pulled]] = defaultdict(list)
    for each in pulled:
        by_press[each.press].append(each)
    answer = tuple(
        say("answer.recheck.pull", press=press, count=len(found), numbers=_by_job(found))
        for press, found in sorted(by_press.items())
    )
    if marked:
        answer += (say("answer.recheck.marked", count=len(marked), numbers=_by_job(marked)),)
    answer = answer or (say("answer.recheck.none"),)
    rows = tuple(
        row(say("report.since_check", press=press), job, len(numbers), ", ".join(numbers))
        for (press, job), numbers in _numbers(pulled).items()
    )
    rows += tuple(
        row(say("report.marks", marks=tuple(say(f"report.mark.{mark}") for mark in each.marks)),
            each.job, 1, each.number or each.line)
        for each in marked
    )  # fmt: skip
    data = {
        "pull_back": [{"press": p.press, "job": p.job, "line": p.line} for p in pulled],
        "marked": [{"job": m.job, "line": m.line, "marks": list(m.marks)} for m in marked],
    }
    table = Table(head("why", "job", "count", "numbers"), rows)
    return Topic(Section("recheck", answer, table), "recheck", answer, data)


def _numbers(pulled: tuple[Pulled, ...]) -> dict[tuple[str, str], list[str]]:
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in pulled:
        found[each.press, each.job].append(each.number or each.line)
    return found


def _by_job(found: Sequence[Pulled | Marked]) -> tuple[Value, ...]:
    """The first few garments as `job: 23 44`."""
    jobs: dict[str, list[str]] = defaultdict(list)
    for each in found[:NAMED]:
        jobs[each.job].append(each.number or each.line)
    lines = tuple(f"{job}: {' '.join(numbers)}" for job, numbers in jobs.items())
    return (*lines, "…") if len(found) > NAMED else lines
