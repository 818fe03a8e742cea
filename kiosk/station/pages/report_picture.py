"""A table or a chart of the report, its words said, as a page shows it."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.report.content import BarChart, ControlChart, Say, Table, spoken


@dataclass(frozen=True, slots=True)
class TablePicture:
    """A head and rows of words; what has no room is counted."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class ChartPicture:
    """A control chart, or bars: label, count, share covered so far."""

    control: ControlChart | None = None
    bars: tuple[tuple[str, int, str], ...] = ()


def table_picture(table: Table, say: Say) -> TablePicture:
    """Return a table with its words."""
    rows = tuple(tuple(spoken(cell, say) for cell in cells) for cells in table.rows)
    return TablePicture(tuple(map(say, table.head)), rows)


def chart_picture(chart: ControlChart | BarChart, say: Say) -> ChartPicture:
    """Return a chart with its words."""
    if isinstance(chart, ControlChart):
        return ChartPicture(chart)
    return ChartPicture(bars=tuple((say(label), n, covered) for label, n, covered in chart.bars))
