"""A usual garment, and a tap at the right moment: a starting point for tests of the model."""

from __future__ import annotations

from kiosk.heat.curve import Observation, ObservationKind, SolvedCurves, bond
from kiosk.heat.garment import LAYING_SECONDS, Act, GarmentPlace, cooling_acts

COVERING_SECONDS = 3.0
STRIPPING_SECONDS = 5.0


def usual(
    *,
    films: int = 1,
    pre_press: float = 5.0,
    tack: float = 2.0,
    final: float = 15.0,
    carrier: bool = True,
    sheet: bool = True,
    where: GarmentPlace = GarmentPlace.LIFTED,
    cooling: float = 300.0,
) -> tuple[Act, ...]:
    """Return pre-press, laying and tacking of each film, the final and cooling; seconds.

    `carrier` is whether the top film's is on in and after the final, `sheet` whether the final has
    the cover sheet. Acts of zero seconds are left out.
    """
    acts = [Act("prepress", pre_press, closed=True)]
    for n in range(1, films + 1):
        acts += [
            Act(f"lay{n}", LAYING_SECONDS, films=n - 1),
            Act(f"tack{n}", tack, closed=True, films=n, carrier=True),
        ]
        if n < films or not carrier:
            acts.append(Act(f"strip{n}", STRIPPING_SECONDS, films=n, carrier=True))
    acts += [
        Act("cover_on", COVERING_SECONDS, films=films, carrier=carrier),
        Act("final", final, closed=True, films=films, carrier=carrier, sheet=sheet),
        *cooling_acts(films, carrier, where, cooling),
    ]
    return tuple(act for act in acts if act.seconds > 0)


def reached(solved: SolvedCurves, name: str) -> float | None:
    """Return the highest bond temperature in the closed stages named `name`, °C."""
    found = [c.highest(bond) for stage, c in solved.stages if stage.pressed and stage.name == name]
    return max((t for t in found if t is not None), default=None)


def found_ready(seen_seconds: float, model_seconds: float) -> Observation:
    """Return a tap, unprompted, at the moment the garment was found ready."""
    return Observation(ObservationKind.MOMENT, seen_seconds, model_seconds)
