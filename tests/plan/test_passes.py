"""Which passes go garment by garment, and where a peel waits."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import F, S, closing, element, material, plan_of, settings, single_plan

from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import DwellBand, Peel
from kiosk.plan.heat.waits import FROM_TRIAL, slow_seconds_to_final
from kiosk.plan.model import PeelPlace, Plan


def two_panels(
    peel: Peel | None = Peel.HOT,
    temperature: int = 280,
    pressure: tuple[Pressure, Pressure] = (Pressure.MEDIUM, Pressure.MEDIUM_FIRM),
) -> Plan:
    """Return the plan of a back, then a front with its own setting."""
    panels = (Panel("back", (element("name", "red"),)), Panel("front", (element("number", "red"),)))
    peels = {} if peel is None else {"name.1": peel}
    return plan_of(
        settings(closing("name.1", peel=peels)),
        settings(closing("number.1", temperature=temperature, pressure=pressure), panel="front"),
        panels=panels,
    )


@pytest.mark.parametrize("peel", [Peel.HOT, None])
def test_passes_with_one_setting_and_no_wait_go_garment_by_garment(peel: Peel | None) -> None:
    assert two_panels(peel).runs == ((0, 1),)


@pytest.mark.parametrize("peel", [Peel.WARM, Peel.COLD])
def test_a_wait_between_passes_sends_the_whole_lot_through_the_first(peel: Peel) -> None:
    assert two_panels(peel).runs == ((0,), (1,))


def test_another_temperature_sends_the_whole_lot_through_the_first_pass() -> None:
    assert two_panels(temperature=270).runs == ((0,), (1,))


def test_another_pressure_sends_the_whole_lot_through_the_first_pass() -> None:
    assert two_panels(pressure=(Pressure.FIRM, Pressure.FIRM)).runs == ((0,), (1,))


def test_a_pressure_that_suits_both_passes_is_one_setting() -> None:
    assert two_panels(pressure=(Pressure.MEDIUM_FIRM, Pressure.FIRM)).runs == ((0, 1),)


def test_hot_peel_happens_at_the_press() -> None:
    assert single_plan(Peel.HOT).passes[0].place is PeelPlace.PRESS


def test_cold_peel_waits_on_the_rack() -> None:
    assert single_plan(Peel.COLD).passes[0].place is PeelPlace.RACK


def test_a_short_warm_peel_is_done_in_hand_before_the_next_load() -> None:
    film = material(waits={Peel.WARM: ("8 s", "25 s")})
    assert single_plan(Peel.WARM, materials=(film,)).passes[0].place is PeelPlace.HAND


def test_a_warm_peel_that_can_wait_for_the_next_final_goes_to_the_rack() -> None:
    slow = slow_seconds_to_final(single_plan().passes[0].steps, 1.0)
    for late, place in ((slow, PeelPlace.RACK), (slow - 1, PeelPlace.HAND)):
        film = material(waits={Peel.WARM: ("8 s", f"{late:g} s")})
        assert single_plan(Peel.WARM, materials=(film,)).passes[0].place is place


def test_a_staged_peel_waits_where_its_last_stage_does() -> None:
    back = Panel("back", (element("name", "red"), element("number", "red")))
    peels = {"name.1": Peel.COLD, "number.1": Peel.HOT}
    plan = plan_of(settings(closing("name.1", "number.1", peel=peels)), panels=(back,))
    assert plan.passes[0].place is PeelPlace.RACK


def test_a_materials_own_wait_wins_over_the_estimate() -> None:
    film = material(waits={Peel.COLD: ("90 s", "400 s")})
    wait = single_plan(Peel.COLD, materials=(film,)).passes[0].wait
    assert wait is not None
    assert (wait.from_seconds, wait.to_seconds, wait.source) == (90.0, 400.0, FROM_TRIAL)


def two_waits(first: tuple[str, str], second: tuple[str, str]) -> tuple[float, float]:
    back = Panel("back", (element("name", "red"), element("number", "red", key="other")))
    pieces = ("name.1", "number.1")
    plan = plan_of(
        settings(closing(*pieces, peel=dict.fromkeys(pieces, Peel.WARM))),
        panels=(back,),
        materials=(
            material(waits={Peel.WARM: first}),
            replace(material("other", waits={Peel.WARM: second})),
        ),
    )
    wait = plan.passes[0].wait
    assert wait is not None
    return wait.from_seconds, wait.to_seconds


def test_pieces_peeled_together_wait_from_the_latest_start_to_the_earliest_end() -> None:
    assert two_waits(("8 s", "20 s"), ("12 s", "30 s")) == (12.0, 20.0)


def test_waits_that_do_not_overlap_never_peel_a_carrier_too_early() -> None:
    assert two_waits(("8 s", "10 s"), ("12 s", "30 s")) == (12.0, 12.0)


def test_slow_time_to_the_next_final_includes_every_countdown() -> None:
    """The countdown of the pre-press and that of the final itself."""
    steps = single_plan(Peel.WARM).passes[0].steps
    slow, quick = (slow_seconds_to_final(steps, closes_in) for closes_in in (5.0, 1.0))
    assert slow - quick == pytest.approx(2 * 4.0)


def test_the_allowed_temperatures_end_at_a_gap_in_the_sheet() -> None:
    """A gap belongs to no sheet, though it is within the film's window (260 to 300 °F)."""
    assert single_plan().films == ((260, 300),)
    bands = (("260 F", "266 F"), ("270 F", "275 F"), ("276 F", "288 F"), ("292 F", "300 F"))
    seconds = tuple(DwellBand(F(a), F(b), S("10 s"), S("20 s"), S("15 s")) for a, b in bands)
    torn = replace(material(), dwell=seconds)
    assert single_plan(materials=(torn,)).films == ((270, 288),)
