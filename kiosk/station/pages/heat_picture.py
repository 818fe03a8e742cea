"""A garment's temperatures as the set-up shows them: the sampled curve with its words."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base import Degrees, degrees
from kiosk.plan.heat import HeatCurve, rests_on
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
