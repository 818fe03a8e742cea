"""What is drawn on a plain page, its words said: a heat curve, a table, a chart."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base import Degrees, degrees
from kiosk.plan.heat import HeatCurve, rests_on
from kiosk.report.content import BarChart, ControlChart, Say, Table, spoken
from kiosk.words import Words


@dataclass(frozen=True, slots=True)
class HeatPicture:
    """What is drawn: the curve, and every word beside it; `unit` is the axis's.

    `closings` names each closed phase in order, `levels` the curve's levels in order.
    """

    curve: HeatCurve
    unit: Degrees
    closings: tuple[str, ...]
    levels: tuple[str, ...]
    bond: str
    cloth: str
    now: str
    axis: str


def heat_picture(curve: HeatCurve, unit: Degrees, words: Words) -> HeatPicture:
    """Return a pass's curve with its words."""
    wait = curve.wait
    return HeatPicture(
        curve,
        unit,
        closings=tuple(words(f"curve.phase.{span.phase}") for span in curve.phases if span.closed),
        levels=tuple(
            words(
                f"curve.level.{level.name}",
                degrees=degrees(level.celsius, unit),
                unit=unit.value,
            )
            for level in curve.levels
        ),
        bond=words("curve.bond"),
        cloth=words("curve.cloth"),
        now="" if wait is None else words("curve.now", source=rests_on(wait, brief=True)),
        axis=words("curve.after"),
    )


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
