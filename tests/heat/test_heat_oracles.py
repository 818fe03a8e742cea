"""Textbook answers, each with its source; the solver is not built on any of them."""

from __future__ import annotations

from math import cos, exp, log, sqrt

import pytest

from kiosk.heat.curve import solve
from kiosk.heat.solver import history
from kiosk.heat.stack import ZERO_CELSIUS, HeatLayer, HeatStage, HeatStory, Plate

NOTHING = Plate(0.0, 1e-12)  # an insulated face
PERFECT = 1e9


def story(
    layers: dict[str, HeatLayer],
    seconds: float,
    top: Plate,
    bottom: Plate = NOTHING,
    room: float = 0.0,
) -> HeatStory:
    stage = HeatStage("only", seconds, tuple(layers), True, top, bottom)
    return HeatStory(room, layers, {"default": (PERFECT, PERFECT)}, (stage,), ("film", "cloth"))


def slab(depth: float, k: float, diffusivity: float, cells: int, ratio: float = 1.0) -> HeatLayer:
    return HeatLayer(depth * k / diffusivity, depth / k, depth / k, cells, ratio)


def test_a_half_space_under_convection_matches_geankoplis_5_3_1() -> None:
    """Soil at 15.6 °C against air at -17.8 °C for 5 h: surface 267.982 K (read)."""
    ground = slab(2.0, 0.865, 4.65e-7, 60, 1.08)
    air = Plate(-17.8, 11.36)
    surface = solve(story({"cloth": ground}, 5 * 3600, air, room=15.6)).whole.samples[-1].cloth
    assert surface is not None
    assert surface + ZERO_CELSIUS == pytest.approx(267.982, abs=0.05)


@pytest.mark.parametrize(
    ("biot", "root", "factor"),
    [(0.1, 0.3111, 1.0161), (1.0, 0.8603, 1.1191), (10.0, 1.4289, 1.2620)],
)
def test_a_plane_wall_follows_its_one_term_solution(
    biot: float, root: float, factor: float
) -> None:
    """Roots of zeta·tan(zeta) = Bi and C1: Incropera table 5.1, Çengel table 4-2 (read)."""
    wall = slab(1.0, 1.0, 0.01, 40)  # Fourier number 1 at 100 s
    found = history(story({"cloth": wall}, 100, Plate(0.0, biot), room=100.0))
    middle = factor * exp(-(root**2))
    last_cell = 1 - 0.5 / 40  # its centre, from the surface inward
    assert found.stages[0][1][-1].cloth == pytest.approx(100 * middle * cos(root), abs=0.15)
    inside = 100 * middle * cos(root * (1 - last_cell))
    assert found.end["cloth"][-1] == pytest.approx(inside, abs=0.15)


def test_a_lumped_bead_cools_by_99_percent_in_9_94_seconds() -> None:
    """A 1 mm bead, k 35, rho 8500, c 320, h 210: 99 % in 9.94 s (Çengel example 4-1, read)."""
    length = 0.001 / 6  # volume over surface of a sphere
    bead = HeatLayer(8500 * 320 * length, length / 35, length / 35, 1)
    under = HeatLayer(1e-3, 0.0, 0.0, 1)  # almost no capacity, so that the bead's cell is read
    cooled = story({"film": bead, "cloth": under}, 12, Plate(25.0, 210.0), room=200.0)
    assert solve(cooled).whole.falls_to(25 + 0.01 * (200 - 25)) == pytest.approx(9.94, rel=0.01)


def test_frost_reaches_the_depth_in_cengel_4_6() -> None:
    """Soil at 15 °C, surface kept at -10 °C, 90 days: 0 °C at 0.8009 m (exact erfc).

    Time is shortened to 1000 s and diffusivity raised by the same factor, for the same Fourier
    number.
    """
    seconds, cells, depth = 1000.0, 160, 6.0
    soil = slab(depth, 1.0, 0.15e-6 * 90 * 86400 / seconds, cells)
    found = history(story({"cloth": soil}, seconds, Plate(-10.0, PERFECT), room=15.0)).end["cloth"]
    first = next(i for i, t in enumerate(found) if t > 0)
    share = -found[first - 1] / (found[first] - found[first - 1])
    assert (first - 0.5 + share) * depth / cells == pytest.approx(0.8009, rel=0.005)


@pytest.mark.parametrize(("k", "heat"), [(1.0, 1.0e6), (0.25, 4.0e6), (4.0, 1.0e6), (0.5, 3.0e5)])
def test_two_touching_bodies_meet_at_the_mean_weighted_by_effusivity(k: float, heat: float) -> None:
    """(e1·T1 + e2·T2)/(e1 + e2), e = sqrt(k·rho·c); equal e give the mean (Çengel section 4-3)."""
    depth, cells = 0.2, 60
    upper = HeatLayer(1e6 * depth, depth, depth, cells, 1 / 1.08, 100.0)
    lower = HeatLayer(heat * depth, depth / k, depth / k, cells, 1.08, 20.0)
    contact = solve(story({"film": upper, "cloth": lower}, 60, NOTHING)).whole.samples[-1].bond
    e1, e2 = sqrt(1e6), sqrt(k * heat)
    assert contact == pytest.approx((e1 * 100 + e2 * 20) / (e1 + e2), abs=0.2)


def test_the_stack_gains_what_the_platen_loses() -> None:
    """Energy in is energy stored, through all openings and closings (first law)."""
    layers = {
        "film": HeatLayer(50_000.0, 1e-5, 1e-5, 1, 1.0, 150.0),
        "cloth": HeatLayer(400.0, 0.005, 0.011, 3),
        "pad": HeatLayer(4446.0, 0.1, 0.1, 10, 1.35),
    }
    names = tuple(layers)
    stages = tuple(
        HeatStage("turn", 20.0, names, pressed, NOTHING, NOTHING) for pressed in (True, False, True)
    )
    found = history(
        HeatStory(20.0, layers, {"default": (1500.0, 200.0)}, stages, ("film", "cloth"))
    )

    def heat(name: str) -> float:
        weights = [layers[name].ratio ** i for i in range(layers[name].cells)]
        cells = zip(weights, found.end[name], strict=True)
        return layers[name].capacity * sum(w * (t - 20) for w, t in cells) / sum(weights)

    assert heat("cloth") > 10_000  # J/m2: it did warm up
    assert sum(map(heat, names)) == pytest.approx(50_000 * 130, rel=1e-9)


def test_a_body_without_resistance_cools_exponentially() -> None:
    """T - Ta = (T0 - Ta)·exp(-h·t/C): the lumped solution (any text)."""
    body = HeatLayer(400.0, 0.0, 0.0, 1)
    curve = solve(
        story({"film": body, "cloth": HeatLayer(1e-3, 0, 0, 1)}, 60, Plate(0.0, 10.0), room=100.0)
    )
    assert curve.whole.falls_to(50.0) == pytest.approx(40 * log(2), rel=0.002)
