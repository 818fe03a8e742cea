"""The settings that were used, with the lines that say why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kiosk.catalog.base import Message, say
from kiosk.plan.model import Closing, PanelSettings, Plan
from kiosk.plan.phrases import changed_told, panel_word
from kiosk.plan.sources import of_sources, sources_told
from kiosk.report.content import Cell, Section, Table, Topic, head, row
from kiosk.report.period import Period
from kiosk.run.state import SettingRead


def settings(period: Period) -> Topic:
    """Return the closings of every panel pressed; readings of the press against them."""
    plans = {name: begun.plan for name, begun in period.begun().items()}
    rows = dict.fromkeys(cells for plan in plans.values() for cells in _rows(plan))
    wrong: Counter[tuple[int, int]] = Counter()
    for _, noted in period.noted():
        event = noted.event
        if isinstance(event, SettingRead) and not event.fits:
            wrong[event.temperature, event.required] += 1
    reading = tuple(
        say("report.setting_off", read=read, asked=asked, count=count)
        for (read, asked), count in wrong.most_common()
    ) or (say("report.settings_reading"),)
    data: dict[str, object] = {
        "settings": [d for name, plan in plans.items() for d in _data(name, plan)]
    }
    data["sources"] = [{"job": job, **of_sources(p.sources)} for job, p in plans.items()]
    columns = head("recipe", "press", "panel", "closings", "pressure", "why", "numbers_by")
    return Topic(Section("settings", reading, Table(columns, tuple(rows))), data=data)


def _rows(plan: Plan) -> Iterator[tuple[Cell, ...]]:
    """Jobs that are pressed alike share a row."""
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
        pressure = _pressure(panel.closings[-1])
        numbers = sources_told(plan.sources, plan.fabric, plan.press)
        yield row(plan.recipe, plan.press, _panel(panel), closings, pressure, _why(panel), numbers)


def _panel(panel: PanelSettings) -> Message:
    return say("report.panel", panel=panel_word(panel.panel))


def _pressure(closing: Closing) -> Message:
    low, high = closing.pressure_low.word, closing.pressure_high.word
    if low == high:
        return say(f"pressure.{low}")
    return say("report.pressure", low=say(f"pressure.{low}"), high=say(f"pressure.{high}"))


def _why(panel: PanelSettings) -> tuple[Message, ...]:
    lines = tuple(changed_told(each) for each in panel.changed_from_normal)
    return lines + tuple(say(f"settings.warning.{each}") for each in panel.warnings)


def _data(job: str, plan: Plan) -> Iterator[dict[str, object]]:
    for panel in plan.settings:
        for closing in panel.closings:
            yield {
                "job": job, "panel": panel.panel, "purpose": closing.purpose.value,
                "temperature": closing.temperature, "unit": panel.unit.value,
                "dwell_s": closing.dwell_seconds, "warnings": list(panel.warnings),
            }  # fmt: skip
