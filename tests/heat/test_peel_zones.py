"""Too soon, peel now, late: limits as ranges.

When a transfer is hot (down to 90 °C), warm (65 to 40 °C, aiming at 50) or cold (30 °C, or 4 K
above the room) enough to peel: common practice, no source. Seconds are from the calculated table in
test_heat_table.py; no press was measured.
"""

from __future__ import annotations

import pytest
from usual_garment import usual

from kiosk.catalog.model.house import Thresholds
from kiosk.catalog.model.sheets import Peel
from kiosk.heat.curve import solve
from kiosk.heat.garment import Cooling, GarmentPlace, Setup, peel_zones, story
from kiosk.heat.learn import LIFTED, PAD, Beta

SOLVED = solve(story(Setup(149.0), usual()))
COOLING = Cooling(SOLVED.cooling, SOLVED.opened, 23.0, LIFTED)
SURE = Cooling(SOLVED.cooling, SOLVED.opened, 23.0, Beta(0.0, 1e6))


def test_a_hot_peel_is_due_at_once_and_late_near_90() -> None:
    zones = peel_zones(Peel.HOT, COOLING)
    assert zones.prompt_seconds == 0
    assert zones.end is not None
    assert zones.end.middle == pytest.approx(16, abs=2)  # calculated only by this model
    assert zones.now_from == 0
    assert 0 < zones.end.low < zones.end.middle


def test_a_warm_peel_has_three_zones_and_is_called_at_50_degrees() -> None:
    zones = peel_zones(Peel.WARM, SURE)
    # calculated only by this model, between the table's 30 s (65 °C) and 64 s (40 °C)
    assert zones.prompt_seconds == pytest.approx(46, abs=3)
    assert zones.now_from is not None
    assert zones.end is not None
    assert 20 < zones.now_from <= 46 < zones.end.low
    assert zones.end.middle <= 80


@pytest.mark.parametrize("beta", [LIFTED, PAD, Beta(0.2, 400.0), Beta(-0.3, 30.0)])
@pytest.mark.parametrize("peel", list(Peel))
def test_the_zones_are_in_order_and_the_prompt_is_never_too_soon(beta: Beta, peel: Peel) -> None:
    zones = peel_zones(peel, Cooling(SOLVED.cooling, SOLVED.opened, 23.0, beta))
    assert zones.prompt_seconds is not None
    assert zones.now_from is not None
    assert zones.now_from <= zones.prompt_seconds
    if zones.end is not None:
        assert zones.prompt_seconds < zones.end.middle
        assert zones.end.low < zones.end.middle < zones.end.high


def test_cold_is_30_degrees_or_4_above_the_room() -> None:
    """Common practice, no source."""
    assert Thresholds().cold(23.0) == 30.0
    assert Thresholds().cold(29.0) == 33.0


def test_a_cold_peel_is_called_when_surely_cold_and_never_late() -> None:
    zones = peel_zones(Peel.COLD, COOLING)
    assert zones.start is not None
    assert zones.prompt_seconds == zones.start.high
    assert zones.now_from is not None
    assert zones.now_from > zones.start.middle
    assert zones.end is None


def test_on_a_hot_pad_a_garment_may_never_get_cold() -> None:
    warm = solve(story(Setup(149.0, pad=70.0, lower=60.0), usual(where=GarmentPlace.PAD)))
    zones = peel_zones(Peel.COLD, Cooling(warm.cooling, warm.opened, 23.0, PAD))
    assert (zones.start, zones.prompt_seconds, zones.now_from) == (None, None, None)


def test_a_curve_that_ends_too_early_gives_no_prompt() -> None:
    short = solve(story(Setup(149.0), usual(cooling=20.0)))
    zones = peel_zones(Peel.WARM, Cooling(short.cooling, short.opened, 23.0, LIFTED))
    assert zones.prompt_seconds is None


def test_a_shop_can_change_its_thresholds() -> None:
    own = Thresholds(warm_from=80.0, warm_aim=70.0, warm_until=60.0)
    sooner = peel_zones(Peel.WARM, SURE, thresholds=own).prompt_seconds
    assert sooner is not None
    assert sooner < 30


def test_a_slower_shop_is_called_later_by_its_factor() -> None:
    slow = Cooling(SOLVED.cooling, SOLVED.opened, 23.0, Beta(0.3, 1e6))
    found = [peel_zones(Peel.WARM, c).prompt_seconds or 0 for c in (SURE, slow)]
    assert found[1] == pytest.approx(found[0] * 1.3499, rel=1e-3)  # exp(0.3)


def test_the_range_is_1_28_spreads_on_either_side() -> None:
    zones = peel_zones(Peel.COLD, COOLING)
    assert zones.start is not None
    ratio = zones.start.high / zones.start.middle
    assert ratio == pytest.approx(1.3064, rel=1e-3)  # exp(1.28·hypot(0.20, 0.06)), by hand
    assert zones.start.low * ratio == pytest.approx(zones.start.middle)
