"""A plan's temperature curves as a picture, by matplotlib, an optional dependency."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from kiosk.catalog.base import PICTURE, Degrees, converted, dataclass
from kiosk.catalog.model import Range
from kiosk.plan.heat import HeatCurve, heat_curve, wait_basis
from kiosk.plan.model import Pass, Plan
from kiosk.plan.phrases import pass_words
from kiosk.words import Words

if TYPE_CHECKING:  # only there if the shop installed it
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, PAPER, MUTED, HEAT = "#15171C", "#F7F4EC", "#4A463D", "#DED7C6"
WIDTH, HEIGHT = 10.0, 5.2  # inches, of one curve
DOTS_PER_INCH = 130
ABOVE_PLATEN, BELOW_ROOM = 38, 6  # °C: room for phase names, and below the room


@dataclass(frozen=True, slots=True)
class TitledCurve:
    """A pass's curve with its title."""

    title: str
    curve: HeatCurve


def curve_of(plan: Plan, each: Pass, words: Words) -> TitledCurve | None:
    """Return the curve of a pass of `plan`, or None if no model fits it."""
    curve = heat_curve(each)
    return None if curve is None else TitledCurve(words.say(pass_words(plan, each)), curve)


def png(plan: Plan, words: Words) -> bytes:
    """Return the curves of all passes, stacked, as a PNG; a sentence if there are none."""
    curves = [c for each in plan.passes if (c := curve_of(plan, each, words)) is not None]
    return _file_bytes(_figure(plan, curves, words, titled=True), "png")


def svg(plan: Plan, curve: TitledCurve, words: Words) -> str:
    """Return one curve as an SVG element for a page; its letters are outlines."""
    text = _file_bytes(_figure(plan, (curve,), words, titled=False), "svg").decode("utf-8")
    return text[text.index("<svg") :]


def _file_bytes(figure: Figure, kind: str) -> bytes:
    from matplotlib import rc_context

    into = io.BytesIO()
    # No date, so that the same plan gives the same bytes; the creator marks the file as ours.
    plain = {"Date": None} if kind == "svg" else {"Software": PICTURE.maker}
    with rc_context({"svg.hashsalt": "kiosk"}):
        figure.savefig(into, format=kind, facecolor=PAPER, metadata=plain)
    return into.getvalue()


def _figure(plan: Plan, curves: Sequence[TitledCurve], words: Words, titled: bool) -> Figure:
    from matplotlib.figure import Figure

    figure = Figure((WIDTH, HEIGHT * max(1, len(curves))), dpi=DOTS_PER_INCH, layout="constrained")
    if titled:
        figure.suptitle(plan.title, color=INK, fontsize=14, fontweight="bold", x=0.01, ha="left")
    if not curves:
        figure.text(0.01, 0.5, words("curve.none"), color=INK)
        return figure
    grid = figure.subplots(len(curves), 1, squeeze=False)
    for axes, curve in zip(grid[:, 0], curves, strict=True):
        axes.set_title(curve.title, color=INK, fontsize=11, loc="left")
        _draw(axes, plan.unit, curve.curve, words)
    return figure


def _draw(axes: Axes, unit: Degrees, curve: HeatCurve, words: Words) -> None:
    top = converted(curve.highest + ABOVE_PLATEN, Degrees.C, unit)
    axes.set_facecolor(PAPER)
    axes.set_xlim(0, curve.end)
    axes.set_ylim(converted(min(_temperatures(curve)) - BELOW_ROOM, Degrees.C, unit), top)
    axes.set_xlabel(words("curve.seconds"), color=INK)
    axes.set_ylabel(f"°{unit.value}", color=INK)
    axes.tick_params(colors=INK)
    axes.spines[["top", "right"]].set_visible(False)
    _phases(axes, curve, top, words)
    _borders(axes, curve, words)
    _levels(axes, curve, unit, words)
    _lines(axes, curve, unit, words)
    axes.legend(
        loc="upper center", bbox_to_anchor=(0.5, -0.13), ncols=5, frameon=False, fontsize=8,
        labelcolor=INK,
    )  # fmt: skip


def _phases(axes: Axes, curve: HeatCurve, top: float, words: Words) -> None:
    """Shade the closed phases and name every phase along the upper edge."""
    for span in curve.phases:
        if span.closed:
            axes.axvspan(span.start, span.end, color=HEAT, linewidth=0)
        axes.axvline(span.end, color=MUTED, linewidth=0.5, alpha=0.5)
        middle, name = (span.start + span.end) / 2, words(f"curve.phase.{span.phase}")
        axes.text(
            middle, top, f" {name} ", rotation=90, ha="center", va="top", fontsize=8, color=INK
        )


def _borders(axes: Axes, curve: HeatCurve, words: Words) -> None:
    """Mark when to peel, with the estimate's ranges: ready below, late above it."""
    wait = curve.wait
    if wait is None:
        return
    start = curve.opened + wait.from_seconds
    end = min(curve.end, curve.opened + wait.to_seconds)
    axes.axvspan(
        start, end, facecolor="none", edgecolor=MUTED, hatch="//", linewidth=0, alpha=0.5,
        label=words("curve.now", source=wait_basis(wait, brief=True)),
    )  # fmt: skip
    low, high = axes.get_ylim()
    marks = [(wait.ready, "ready", "o", 0.03), (wait.late, "late", "s", 0.07)]
    if wait.guess is not None:
        start, end = wait.guess
        marks.append((Range(start, (start + end) / 2, end), "guess", "x", 0.11))
    for span, name, sign, share in marks:
        if span is None or span.high == span.low:
            continue
        axes.errorbar(
            [curve.opened + span.middle],
            [low + share * (high - low)],
            xerr=[[span.middle - span.low], [span.high - span.middle]],
            fmt=sign,
            color=INK,
            markersize=4,
            capsize=4,
            label=words(f"curve.{name}", low=round(span.low), high=round(span.high)),
        )


def _levels(axes: Axes, curve: HeatCurve, unit: Degrees, words: Words) -> None:
    for level in curve.levels:
        at = converted(level.celsius, Degrees.C, unit)
        axes.axhline(at, color=MUTED, linewidth=1, linestyle=":")
        name = words(f"curve.level.{level.name}", degrees=round(at), unit=unit.value)
        axes.text(curve.end, at, f"{name} ", va="bottom", ha="right", fontsize=8, color=INK)


def _lines(axes: Axes, curve: HeatCurve, unit: Degrees, words: Words) -> None:
    times = [point.time for point in curve.points]
    bonds = [_or_gap(point.bond, unit) for point in curve.points]
    cloths = [_or_gap(point.cloth, unit) for point in curve.points]
    axes.plot(times, cloths, color=MUTED, linewidth=1.4, linestyle="--", label=words("curve.cloth"))
    axes.plot(times, bonds, color=INK, linewidth=2.4, label=words("curve.bond"))


def _temperatures(curve: HeatCurve) -> list[float]:
    return [t for p in curve.points for t in (p.bond, p.cloth) if t is not None]


def _or_gap(celsius: float | None, unit: Degrees) -> float:
    return float("nan") if celsius is None else converted(celsius, Degrees.C, unit)
