"""The settings that were used, with the lines that say why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from kiosk.catalog.message import Message, say
from kiosk.plan.model import Closing, PanelSettings, Plan
from kiosk.report.content import Cell, Section, Table, Topic, head, panel_named, row
from kiosk.report.period import Period
from kiosk.run.events import SettingRead


def settings(period: Period) -> Topic:
    """Return the closings of every job at the press; readings of the press against them."""
    plans = {name: begun.plan for name, begun in period.begun().items()}
    rows = [cells for plan in plans.values() for cells in _rows(plan)]
    wrong: Counter[tuple[int, int]] = Counter()
    for _, noted in period.noted():
        event = noted.event
        if isinstance(event, SettingRead) and event.temperature != event.required:
            wrong[event.temperature, event.required] += 1
    reading = tuple(
        say("report.setting_off", read=read, asked=asked, count=count)
        for (read, asked), count in wrong.most_common()
    ) or (say("report.settings_reading"),)
    data = {"settings": [d for name, plan in plans.items() for d in _data(name, plan)]}
    table = Table(head("job", "panel", "closing", "temperature", "dwell", "pressure", "why"),
                  tuple(rows))  # fmt: skip
    return Topic(Section("settings", reading, table), data=data)


def _rows(plan: Plan) -> Iterator[tuple[Cell, ...]]:
    for panel in plan.settings:
        for nth, closing in enumerate(panel.closings):
            first = nth == 0
            yield row(
                plan.title if first else "",
                _panel(panel) if first else "",
                say(f"report.purpose.{closing.purpose.value}"),
                f"{closing.temperature} °{panel.unit.value}",
                f"{closing.dwell_seconds} s",
                _pressure(closing),
                _why(panel) if first else "",
            )


def _panel(panel: PanelSettings) -> Message:
    return say("report.panel", panel=panel_named(panel.panel))


def _pressure(closing: Closing) -> Message:
    low, high = closing.pressure_low.word, closing.pressure_high.word
    if low == high:
        return say(f"pressure.{low}")
    return say("report.pressure", low=f"@pressure.{low}", high=f"@pressure.{high}")


def _why(panel: PanelSettings) -> tuple[Message, ...]:
    lines = tuple(panel.changed_from_normal)
    return lines + tuple(say(f"settings.warning.{each}") for each in panel.warnings)


def _data(job: str, plan: Plan) -> Iterator[dict[str, object]]:
    for panel in plan.settings:
        for closing in panel.closings:
            yield {
                "job": job, "panel": panel.panel, "purpose": closing.purpose.value,
                "temperature": closing.temperature, "unit": panel.unit.value,
                "dwell_s": closing.dwell_seconds, "warnings": list(panel.warnings),
            }  # fmt: skip
