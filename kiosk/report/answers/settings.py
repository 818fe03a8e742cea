"""The settings used, and what changed since the working day before."""

from collections import Counter
from collections.abc import Iterator, Mapping
from statistics import median

from kiosk.catalog.base import FileKey, FileValue, Message, Value, recorded_word, say
from kiosk.plan.model import PanelSettings, Plan
from kiosk.plan.phrases import change_lines, panel_word, pressure_words
from kiosk.plan.sources import of_sources, plan_source_lines
from kiosk.report.answers.counts import job_counts
from kiosk.report.answers.pace import cycles
from kiosk.report.answers.results import defect_events, failures
from kiosk.report.content import EMPTY, Cell, Section, Table, Topic, head, row
from kiosk.report.evidence import (
    LEAST,
    OFTEN,
    Comparison,
    Share,
    Strength,
    longer_than_others,
    more_than_others,
    strengths,
)
from kiosk.report.period import Period, once
from kiosk.report.stats import percent
from kiosk.run.state import RecipesRead, SettingRead, defect_word


def settings(period: Period) -> Topic:
    """Return the closings of every panel pressed, and the press readings that did not match."""
    plans = _plans(period)
    rows = dict.fromkeys(
        cells for plan in plans.values() for cells in _rows(plan, period.recipes())
    )
    columns = head("recipe", "press", "panel", "closings", "pressure", "why", "numbers_by")
    return Topic(Section("settings", _readings(period), Table(columns, tuple(rows))), data=lambda: {
        "settings": [d for name, plan in plans.items() for d in _data(name, plan)],
        "sources": [{"job": job, **of_sources(p.sources)} for job, p in plans.items()],
    })  # fmt: skip


def _plans(period: Period) -> dict[str, Plan]:
    """Return the plan of each job that was worked on or is open."""
    return {each.job: period.job_starts()[each.job].plan for each in job_counts(period)}


def _readings(period: Period) -> tuple[Message, ...]:
    """Return the press readings that differed from the setting, each on its own scale."""
    readings = period.events(SettingRead)
    if not readings:
        return (say("report.settings_not_read"),)
    wrong = Counter(
        (period.press_names().get(place.press, EMPTY), place.plan.unit.value if place.plan else "",
         event.temperature, event.required)
        for place, event in readings if not event.fits
    )  # fmt: skip
    return tuple(
        say("report.setting_off", press=press, unit=unit, read=value, asked=required, count=count)
        for (press, unit, value, required), count in wrong.most_common()
    ) or (say("report.settings_reading"),)


def _rows(plan: Plan, recipes: Mapping[str, str]) -> Iterator[tuple[Cell, ...]]:
    """Yield a row of settings for each panel; jobs pressed alike yield equal rows."""
    for panel in plan.settings:
        closings = tuple(
            say(
                "report.closing",
                purpose=say(f"report.purpose.{closing.purpose.value}"),
                temperature=f"{closing.temperature} °{panel.unit.value}",
                seconds=closing.dwell_seconds,
            )
            for closing in panel.closings
        )
        final = panel.closings[-1]
        pressure = pressure_words(final.pressure_low, final.pressure_high)
        numbers = plan_source_lines(plan.sources, plan.fabric, plan.press)
        yield row(
            recipes[plan.recipe],
            plan.press,
            say("report.panel", panel=panel_word(panel.panel)),
            closings,
            pressure,
            _why(panel),
            numbers,
        )


def _why(panel: PanelSettings) -> tuple[Message, ...]:
    lines = change_lines(panel.changed_from_normal)
    return lines + tuple(recorded_word("settings.warning", each) for each in panel.warnings)


def _data(job: str, plan: Plan) -> Iterator[dict[str, object]]:
    for panel in plan.settings:
        for closing in panel.closings:
            yield {
                "job": job, "panel": panel.panel, "purpose": closing.purpose.value,
                "temperature": closing.temperature, "unit": panel.unit.value,
                "dwell_s": closing.dwell_seconds, "warnings": list(panel.warnings),
            }  # fmt: skip


PACE_CHANGED = 0.2  # share of a median cycle; common practice, no source
CYCLES = 10
SHOWN = 4  # changes named in the answer; the table has all


def changes(period: Period, before: Period, against: str = "") -> Topic:
    """Return the answer to: what changed since the day before, or since the days `against`?"""
    first = not before.shifts()
    found = tuple(_lots(period, before) if first else _changes(period, before))
    lines = tuple(_by_title(each, period) for each in found)
    if first:
        answer: tuple[Message, ...] = (say("answer.changed.nothing_before"), *lines[:SHOWN])
    else:
        span = (say("answer.changed.against", days=against),) if against else ()
        answer = span + (lines[:SHOWN] or (say("answer.changed.none"),))
    rows = tuple(row(each) for each in lines)
    section = Section("changes", answer, Table(head("change"), rows))
    return Topic(section, "changed", answer, lambda: {
        "changes": [{"what": _id(each), **{name: _id(value) for name, value in each.values.items()}}
                    for each in found]
    })  # fmt: skip


def _by_title(change: Message, period: Period) -> Message:
    """Return a change with display names for recipe, material and job; programs get the key."""
    titles = {
        name: titles_of().get(str(change.values[name]), change.values[name])
        for name, titles_of in (
            ("recipe", period.recipes), ("material", period.sheets), ("job", period.titles)
        )
        if name in change.values
    }  # fmt: skip
    return Message(change.id, {**change.values, **titles}) if titles else change


def _id(value: Value) -> Value:
    """Return a value for other programs: a word's id, a file's own key or value."""
    if isinstance(value, FileKey):
        return value.key
    if isinstance(value, FileValue):
        return value.value
    return value.id.rpartition(".")[2] if isinstance(value, Message) else value


def _changes(period: Period, before: Period) -> Iterator[Message]:
    yield from _settings(period, before)
    yield from _files(period)
    yield from _lots(period, before)
    yield from _people(period, before)
    rates = [*_first_pass(period, before), *_pace(period, before), *_defects(period, before)]
    verdicts = strengths([case for case, _ in rates])
    yield from (
        m for (_, m), w in zip(rates, verdicts, strict=True) if m and w is not Strength.TOO_LITTLE
    )


def _settings_used(period: Period) -> dict[tuple[str, str, str, int], str]:
    """Return the setting of each closing, by recipe, press, panel and index."""
    return {
        (plan.recipe, plan.press, panel.panel, nth):
            f"{closing.temperature} °{panel.unit.value}, {closing.dwell_seconds} s"
        for plan in _plans(period).values()
        for panel in plan.settings
        for nth, closing in enumerate(panel.closings)
    }  # fmt: skip


def _settings(period: Period, before: Period) -> Iterator[Message]:
    now, then = _settings_used(period), _settings_used(before)
    for key in sorted(now.keys() & then.keys()):
        if now[key] != then[key]:
            values = {"recipe": key[0], "press": key[1]}
            yield say("change.setting", **values, before=then[key], now=now[key])


def _files(period: Period) -> Iterator[Message]:
    for _, event in period.events(RecipesRead):
        for each in event.changes:
            before, now = (FileValue(each.key, v or EMPTY) for v in (each.before, each.after))
            key = FileKey(each.file, each.key)
            yield say("change.file", file=each.file, key=key, before=before, now=now)


def _lots(period: Period, before: Period) -> Iterator[Message]:
    """Yield each material whose lot differs from the one used before at the same station."""
    for facts in period.logs:
        lots: dict[str, str] = {}
        for each in (*(log for log in before.logs if log.station == facts.station), facts):
            for job in dict.fromkeys(stint.job for stint in each.stints if stint.job in each.jobs):
                for material, lot in each.jobs[job].lots:
                    earlier = lots.get(material, lot)
                    lots[material] = lot
                    if each is facts and earlier != lot:
                        yield say("change.lot", job=job, material=material, before=earlier, now=lot)


def _people(period: Period, before: Period) -> Iterator[Message]:
    new = tuple(operator for operator in period.operators() if operator not in before.operators())
    if new:
        yield say("change.people", who=new)


Compared = tuple[Comparison, Message | None]
"""A comparison and its message, which is None if the difference is too small to matter."""


def _first_pass(period: Period, before: Period) -> Iterator[Compared]:
    now, then = _first_pass_share(period), _first_pass_share(before)
    if min(now.whole, then.whole) < LEAST:
        return
    less = Share(now.whole - now.part, now.whole), Share(then.whole - then.part, then.whole)
    chance = 2 * min(more_than_others([(now, then)]), more_than_others([less]))
    yield (
        Comparison(min(1.0, chance), 0.0),
        say("change.first_pass", before=percent(then.rate), now=percent(now.rate)),
    )


@once
def _first_pass_share(period: Period) -> Share:
    own = [each for facts in period.logs for each in facts.garments if each.own]
    return Share(sum(each.many for each in own if each.first_pass), sum(e.many for e in own))


def _pace(period: Period, before: Period) -> Iterator[Compared]:
    """Compare cycle times within each station, because a new mix of stations is no new pace."""
    now, then = cycles(period), cycles(before)
    for key in sorted(now.keys() & then.keys()):
        if min(len(now[key]), len(then[key])) < CYCLES:
            continue
        median_now, median_before = median(now[key]), median(then[key])
        if abs(median_now - median_before) <= PACE_CHANGED * median_before:
            yield Comparison(1.0, 0.0), None
            continue
        longer, shorter = (longer_than_others(*each) for each in
                           ((now[key], then[key]), (then[key], now[key])))  # fmt: skip
        message = say("change.pace", recipe=key[1], station=key[0], before=round(median_before),
                   now=round(median_now))  # fmt: skip
        yield Comparison(min(1.0, 2 * min(longer, shorter)), 0.0), message


def _defects(period: Period, before: Period) -> Iterator[Compared]:
    counts, made = Counter(f.defect for f in failures(period)), _first_pass_share(period).whole
    now = {defect: count for defect, count in counts.items() if count >= OFTEN}
    if not now:
        return
    then, made_then = (
        {event.defect for _, event in defect_events(before)},
        _first_pass_share(before).whole,
    )
    for defect in sorted(now.keys() - then):
        own, others = Share(min(now[defect], made), made), Share(0, made_then)
        message = say("change.defect", defect=defect_word(defect), count=now[defect])
        yield Comparison(more_than_others([(own, others)]), 0.0), message
