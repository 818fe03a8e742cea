"""Charts as inline SVG, in ink on paper: a signal has a ring around it, no colour of its own."""

from __future__ import annotations

from html import escape

from kiosk.report.content import BarChart, ControlChart, Say

WIDE, HIGH, EDGE, NUMBERS = 300.0, 54.0, 5.0, 48.0
BAR = 12.0


def chart(shown: ControlChart | BarChart, say: Say) -> str:
    """Return the chart as an SVG element."""
    if isinstance(shown, BarChart):
        return _bars(shown, say)
    return _control(shown)


def _control(shown: ControlChart) -> str:
    every = (*shown.values, *shown.lower, *shown.upper)
    low, high = min(every), max(every)
    low, high = (low, high) if high > low else (low - 1.0, high + 1.0)
    reach = high - low

    def place(at: int, value: float) -> tuple[float, float]:
        across = (WIDE - NUMBERS - 2 * EDGE) / max(1, len(shown.values) - 1)
        return EDGE + at * across, EDGE + (high - value) / reach * (HIGH - 2 * EDGE)

    def line(values: tuple[float, ...], look: str) -> str:
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in map(place, range(len(values)), values))
        return f'<polyline points="{points}" class="{look}"/>'

    dots = []
    for at, value in enumerate(shown.values):
        x, y = place(at, value)
        dots.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="1.4"/>')
        if at in shown.signals:
            dots.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" class="ring"/>')
    last = len(shown.values) - 1
    labels = [
        f'<text x="{WIDE - NUMBERS:.0f}" y="{place(last, values[-1])[1] + 3:.1f}">'
        f"{escape(_short(values[-1], shown.unit))}</text>"
        for values in _apart(shown)
    ]
    drawn = (line(shown.lower, "limit"), line(shown.upper, "limit"), line(shown.centre, "centre"),
             line(shown.values, "value"), *dots, *labels)  # fmt: skip
    return _svg(HIGH, "".join(drawn))


def _apart(shown: ControlChart) -> list[tuple[float, ...]]:
    """The lines whose numbers are not written over each other."""
    every = (*shown.values, *shown.lower, *shown.upper)
    apart = (max(every) - min(every)) * 9 / (HIGH - 2 * EDGE)
    kept = [shown.centre]
    for each in (shown.upper, shown.lower):
        if abs(each[-1] - shown.centre[-1]) >= apart:
            kept.append(each)
    return kept


def _short(value: float, unit: str) -> str:
    return f"{value:.1f} {unit}"


def _bars(shown: BarChart, say: Say) -> str:
    most = max((count for _, count, _ in shown.bars), default=1)
    parts = []
    for at, (label, count, covered) in enumerate(shown.bars):
        y = at * BAR
        width = (WIDE * 0.22) * count / most
        parts.append(
            f'<rect x="0" y="{y + 2:.1f}" width="{width:.1f}" height="{BAR - 4:.1f}"/>'
            f'<text x="{width + 4:.1f}" y="{y + BAR - 3:.1f}">'
            f"{escape(' · '.join(filter(None, (str(count), covered, say(label)))))}</text>"
        )
    return _svg(max(BAR, len(shown.bars) * BAR), "".join(parts))


def _svg(high: float, inside: str) -> str:
    return f'<svg viewBox="0 0 {WIDE:.0f} {high:.0f}" role="img">{inside}</svg>'
