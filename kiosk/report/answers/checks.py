"""Press checks and their drift; garments to look over again since the last good check."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from kiosk.catalog.base import Message, Value, say
from kiosk.log.facts import ShortHeatGarment, UncheckedGarment
from kiosk.report.content import ControlChart, Section, Table, Topic, control_chart, head, row
from kiosk.report.period import Period, StationPress
from kiosk.report.stats import chance_of_slope, values_chart
from kiosk.run.facts import garment_label, slipped_edges
from kiosk.run.state import PressVerified

ENOUGH = 5  # fewer checks of a press report no drift
RECENT = 8  # latest checks in which a drift is looked for
ONE_IN = 1 / 370  # chance per check that a press without drift is called drifting
NAMED = 10  # garments named in a sentence

History = dict[StationPress, list[PressVerified]]


def history(period: Period) -> History:
    """Return the checks of each press, oldest first, including those before the shifts."""
    found: History = defaultdict(list)
    for facts in period.logs:
        for _, check in facts.checks:  # by event number, as a clock may have been set back
            found[StationPress(facts.station, check.press)].append(check)
    return dict(sorted(found.items()))


def drift(period: Period) -> Topic:
    """Return the answer to: is the press drifting?"""
    found, names = history(period), period.press_names()
    worst = sorted(found.items(), key=lambda item: (item[1][-1].passed, not drifts(item[1])))
    lines = tuple(_press_line(names[press], checks) for press, checks in worst)
    verdict = {True: say("report.passed"), False: say("report.failed")}
    rows = tuple(
        row(names[press], len(checks), f"{checks[-1].temperature} °{checks[-1].unit.value}",
            *_figures(checks), verdict[checks[-1].passed])
        for press, checks in found.items()
    )  # fmt: skip
    columns = ("press", "n", "set", "first_offset", "last_offset", "most", "spread", "verdict")
    answer = lines or (say("answer.drift.none"),)
    section = Section("checks", answer, Table(head(*columns), rows), _chart(found, names))
    return Topic(section, "drift", answer, lambda: {
        "checks": {
            names[press]: {"offsets": [c.offset for c in checks], "last_passed": checks[-1].passed,
                          "drifting": drifts(checks)}
            for press, checks in found.items()
        }
    })  # fmt: skip


def drifts(checks: Sequence[PressVerified]) -> bool:
    """Return whether the recent offsets move one way, away from the setting, beyond chance.

    A move that an adjustment undid does not count. Drift matters once it covers half of the
    allowed offset: common practice, no source.
    """
    recent = [check.offset for check in checks[-RECENT:]]
    if len(recent) < ENOUGH:
        return False
    slope, chance = chance_of_slope(recent)
    distance = abs(slope) * (len(recent) - 1)
    outward = slope * recent[-1] > 0
    return outward and distance >= checks[-1].offset_most / 2 and chance <= ONE_IN


def _press_line(press: str, checks: list[PressVerified]) -> Message:
    last, recent = checks[-1], checks[-RECENT:]
    values: dict[str, Value] = {
        "press": press,
        "first": f"{recent[0].offset:+.1f}",
        "last": f"{last.offset:+.1f}",
        "unit": last.unit.value,
        "count": len(recent),
    }
    if not last.passed:
        return say("answer.drift.failed", press=press, why=tuple(_why_failed(last)))
    if drifts(checks):
        return say("answer.drift.drifting", **values)
    if len(checks) < ENOUGH:
        return say("answer.drift.few", **values, least=ENOUGH)
    return say("answer.drift.steady", **values)


def _why_failed(check: PressVerified) -> Iterator[Message]:
    """Yield the reasons a check failed, in the words of the check's card."""
    unit = check.unit.value
    if abs(check.offset) > check.offset_most:
        offset, most = f"{check.offset:+.1f}", f"{check.offset_most:g}"
        yield say("page.verify.offset", offset=offset, unit=unit, most=most)
    if check.spread > check.spread_most:
        spread, most = f"{check.spread:g}", f"{check.spread_most:g}"
        yield say("page.verify.spread", spread=spread, unit=unit, most=most)
    if edges := slipped_edges(check.paper_held):
        yield say("page.verify.paper_slips", edges=edges)


def _figures(checks: Sequence[PressVerified]) -> tuple[str, ...]:
    """Return the first and last offset, its limit, and the spread with its limit, with units."""
    first, last = checks[0], checks[-1]
    unit = f"°{last.unit.value}"
    return (
        f"{first.offset:+.1f} °{first.unit.value}",
        f"{last.offset:+.1f} {unit}",
        f"±{last.offset_most:g} {unit}",
        f"{last.spread:g} / {last.spread_most:g} {unit}",
    )


def _chart(found: History, names: Mapping[StationPress, str]) -> ControlChart | None:
    """Return the chart of a drifting press, else of that with most signals; None below ENOUGH."""
    charted = {press: checks for press, checks in found.items() if len(checks) >= ENOUGH}
    if not charted:
        return None
    charts = {s: values_chart([check.offset for check in checks]) for s, checks in charted.items()}
    press = max(
        charted, key=lambda s: (drifts(charted[s]), len(charts[s].signals), len(charted[s]))
    )
    offsets = tuple(check.offset for check in charted[press])
    source = say("report.chart.checks", press=names[press])
    return control_chart(offsets, charts[press], f"°{charted[press][-1].unit.value}", source)


def recheck(period: Period) -> Topic:
    """Return the answer to: what must be looked over again?"""
    pulled = tuple(each for facts in period.logs for each in facts.pulled)
    marked = tuple(each for facts in period.logs for each in facts.marked)
    titles = period.titles()
    names, by_press = period.press_names(), defaultdict[str, list[UncheckedGarment]](list)
    for facts in period.logs:
        for each in facts.pulled:
            by_press[names[StationPress(facts.station, each.press)]].append(each)
    answer = tuple(
        say("answer.recheck.pull", press=press, count=len(found), numbers=_by_job(found, titles))
        for press, found in sorted(by_press.items())
    )
    if marked:
        numbers = _by_job(marked, titles)
        answer += (say("answer.recheck.marked", count=len(marked), numbers=numbers),)
    answer = answer or (say("answer.recheck.none"),)
    rows = tuple(
        row(say("report.since_check", press=press), job, len(numbers), ", ".join(numbers))
        for press, found in sorted(by_press.items())
        for job, numbers in _numbers(found, titles).items()
    )
    rows += tuple(
        row(say("report.marks", marks=tuple(say(f"report.mark.{mark}") for mark in each.marks)),
            titles.get(each.job, each.job), 1, garment_label(each.number, each.line))
        for each in marked
    )  # fmt: skip
    table = Table(head("why", "job", "count", "numbers"), rows)
    return Topic(Section("recheck", answer, table), "recheck", answer, lambda: {
        "pull_back": [{"press": p.press, "job": p.job, "line": p.line} for p in pulled],
        "marked": [{"job": m.job, "line": m.line, "marks": list(m.marks)} for m in marked],
    })  # fmt: skip


def _numbers(
    found: Sequence[UncheckedGarment | ShortHeatGarment], titles: Mapping[str, str]
) -> dict[str, list[str]]:
    """Return garment names by the title of their job."""
    jobs: dict[str, list[str]] = defaultdict(list)
    for each in found:
        jobs[titles.get(each.job, each.job)].append(garment_label(each.number, each.line))
    return jobs


def _by_job(
    found: Sequence[UncheckedGarment | ShortHeatGarment], titles: Mapping[str, str]
) -> tuple[Value, ...]:
    """Return the first garments as `title: 23 44`; one alone in words, as 0 reads as none."""
    lines: tuple[Value, ...] = tuple(
        say("report.garment_of", job=job, number=numbers[0])
        if len(numbers) == 1 and numbers[0].isdigit()
        else f"{job}: {' '.join(numbers)}"
        for job, numbers in _numbers(found[:NAMED], titles).items()
    )
    return (*lines, "…") if len(found) > NAMED else lines
