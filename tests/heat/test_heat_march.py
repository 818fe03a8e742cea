"""The time stepping compared with scipy's on the same grid; the faces with a heat balance."""

from __future__ import annotations

import pytest
from by_scipy import by_scipy
from usual_garment import usual

from kiosk.heat.garment import GarmentPlace, Setup, story
from kiosk.heat.solver import face_terms, history
from kiosk.heat.stack import STEFAN_BOLTZMANN, Air, Cloth, HeatStory

GARMENTS = {
    "light, lifted": story(Setup(149.0, pad=60.0, lower=50.0), usual()),
    "heavy, two films, on the pad": story(
        Setup(160.0, cloth=Cloth.HEAVY), usual(films=2, where=GarmentPlace.PAD)
    ),
    "waved, no carrier": story(Setup(130.0, 30.0), usual(carrier=False, where=GarmentPlace.WAVED)),
}


@pytest.mark.parametrize("garment", GARMENTS.values(), ids=GARMENTS)
@pytest.mark.parametrize(("method", "tolerance"), [("BDF", 1e-7), ("Radau", 1e-8)])
def test_the_history_of_a_garment_agrees_with_scipy(
    garment: HeatStory, method: str, tolerance: float
) -> None:
    found = history(garment)
    marks = []
    for stage, samples in found.stages:
        times = [s.time - samples[0].time for s in samples]
        marks.append([*times[:-1], stage.seconds])
    true = by_scipy(garment, method, tolerance, marks)
    own = [sample for _, samples in found.stages for sample in samples]
    for mine, theirs in zip(own, true, strict=True):
        assert (mine.bond is None) == (theirs.bond is None)
        if mine.bond is not None:
            assert mine.bond == pytest.approx(theirs.bond, abs=0.3), mine.time
        assert mine.cloth == pytest.approx(theirs.cloth, abs=0.3), mine.time


@pytest.mark.parametrize("cell", [24.0, 40.0, 90.0, 140.0])
@pytest.mark.parametrize(
    "air",
    [Air(23.0, 2.6, 0.9), Air(23.0, 2.05, 0.9, 2.0), Air(23.0, 2.6, 0.9, overhead=0.3, platen=149)],
)
def test_a_face_loses_the_heat_its_surface_gives_to_the_room(air: Air, cell: float) -> None:
    """The balance is found by root finding, from the laws of convection and radiation."""
    half, hot, room = 0.0003, air.platen + 273.15, air.temperature + 273.15
    gain = air.overhead * air.emissivity * 0.9 * STEFAN_BOLTZMANN * (hot**4 - room**4)

    def given(surface: float) -> float:
        free = air.free * abs(surface - air.temperature) ** 0.25
        forced = 3.9 * (air.speed / 0.3) ** 0.5
        convection = (free**3 + forced**3) ** (1 / 3) * (surface - air.temperature)
        radiation = air.emissivity * STEFAN_BOLTZMANN * ((surface + 273.15) ** 4 - room**4)
        return float(convection + radiation - gain)

    from scipy.optimize import brentq  # slow import: not at collection

    surface = brentq(lambda s: given(s) - (cell - s) / half, cell - 60, cell + 60)
    through, outside = face_terms(air, half, cell)
    assert through * (cell - outside) == pytest.approx(given(surface), rel=0.001, abs=0.1)


def test_radiation_alone_follows_the_stefan_boltzmann_law() -> None:
    """q_rad(1, 400 K) against 0 K is 1451.6140 W/m2 (PyPI ht 1.2.0, run)."""
    air = Air(-273.15, 0.0, 1.0)
    surface = 400 - 273.15
    assert air.conductance(surface) * 400 == pytest.approx(1451.6140, rel=2e-6)
