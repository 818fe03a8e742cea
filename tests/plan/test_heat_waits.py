"""When a peel is due if no wait is written down: calculated from the heat in the stack.

Seconds are from the calculated table in tests/heat/test_heat_table.py; no press was measured.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import closing, element, fabric, material, plan_of, settings, single_plan

from kiosk.catalog.model.house import Carrier, Cloth, FabricHeat, MaterialHeat, OwnBody, Thresholds
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import DyeRisk, Peel, Surface
from kiosk.heat.learn import LIFTED
from kiosk.log.store.codec import from_json, to_json
from kiosk.plan.fingerprint import fingerprint
from kiosk.plan.heat.waits import FORGOTTEN_SECONDS, FROM_ESTIMATE, FROM_PRACTICE, FROM_TRIAL
from kiosk.plan.model import PeelWait, Phase, Plan

# 300 F is the 149 C of the table; light polyester.
LIGHT = fabric()
LIGHT = replace(LIGHT, dye_risk=DyeRisk.POSSIBLE)
HEAVY = replace(LIGHT, heat=FabricHeat(Cloth.HEAVY))


def wait_of(plan: Plan) -> PeelWait:
    wait = plan.passes[0].wait
    assert wait is not None
    return wait


def one(peel: Peel, **parts: object) -> PeelWait:
    """Return the wait of a one-layer number at 300 F."""
    back = Panel("back", (element("number", "red"),))
    final = closing("number.1", temperature=300, sheet=True, peel={"number.1": peel})
    return wait_of(plan_of(settings(final), panels=(back,), **parts))


@pytest.mark.parametrize(
    ("cloth", "warm", "late", "cold"), [(LIGHT, 30, 64, 102), (HEAVY, 39, 84, 136)]
)
def test_the_estimate_agrees_with_the_calculated_table(
    cloth: object, warm: float, late: float, cold: float
) -> None:
    """Seconds after opening, lifted, from the calculated table (149 °C platen, 23 °C room)."""
    ready = one(Peel.WARM, fabric=cloth).ready
    end = one(Peel.WARM, fabric=cloth).late
    chilled = one(Peel.COLD, fabric=cloth).ready
    assert ready is not None
    assert end is not None
    assert chilled is not None
    found = (ready.middle, end.middle, chilled.middle)
    # this pad is that of the middle of a shift; the table's is at room temperature
    assert found == pytest.approx((warm, late, cold), rel=0.06)


def test_the_range_matches_the_prior() -> None:
    ready = one(Peel.WARM).ready
    assert ready is not None
    assert ready.high / ready.middle == pytest.approx(LIFTED.high, rel=0.01)
    assert ready.low / ready.middle == pytest.approx(LIFTED.low, rel=0.01)


def test_a_cold_peel_is_called_when_surely_cold_and_late_only_when_forgotten() -> None:
    wait = one(Peel.COLD)
    assert wait.ready is not None
    assert wait.from_seconds == wait.prompt_seconds == wait.ready.high
    assert (wait.late, wait.to_seconds) == (None, FORGOTTEN_SECONDS)
    assert wait.source == FROM_ESTIMATE


def test_a_hot_peel_is_due_at_once_and_its_window_ends_below_90() -> None:
    wait = one(Peel.HOT)
    assert wait.from_seconds == 0.0
    assert wait.late is not None
    assert 5 < wait.late.low < wait.late.middle == wait.to_seconds < 60


def test_a_shops_own_peel_temperatures_change_the_time_of_the_peel() -> None:
    early = replace(material(), peel_at=Thresholds(warm_from=80.0, warm_aim=70.0, warm_until=60.0))
    assert one(Peel.WARM, materials=(early,)).to_seconds < one(Peel.WARM).from_seconds


def test_a_heavier_film_takes_longer_to_cool() -> None:
    thick = replace(material(), heat=MaterialHeat(Carrier.PET, OwnBody(kg_per_square_metre=0.4)))
    assert one(Peel.COLD, materials=(thick,)).from_seconds > one(Peel.COLD).from_seconds + 20


def test_a_pile_follows_practice_unless_the_shop_gives_its_values() -> None:
    pile = replace(material(), surface=Surface.PILE)
    with_values = replace(pile, heat=MaterialHeat())
    assert one(Peel.COLD, materials=(pile,)).source == FROM_PRACTICE
    assert one(Peel.COLD, materials=(with_values,)).source == FROM_ESTIMATE


def test_one_pieces_known_wait_wins_over_anothers_estimate() -> None:
    back = Panel("back", (element("name", "red"), element("number", "red", key="other")))
    pieces = ("name.1", "number.1")
    sheets = (material(waits={Peel.COLD: ("20 s", "40 s")}), material("other"))
    plan = plan_of(
        settings(closing(*pieces, peel=dict.fromkeys(pieces, Peel.COLD))),
        panels=(back,),
        materials=sheets,
    )
    wait = wait_of(plan)
    assert (wait.from_seconds, wait.to_seconds, wait.source) == (20.0, 40.0, FROM_TRIAL)


def test_pieces_peeled_together_follow_the_slower_stack() -> None:
    thick = replace(material("other"), heat=MaterialHeat(film=OwnBody(kg_per_square_metre=0.4)))
    back = Panel("back", (element("name", "red"), element("number", "red", key="other")))
    pieces = ("name.1", "number.1")
    final = closing(*pieces, temperature=300, sheet=True, peel=dict.fromkeys(pieces, Peel.COLD))
    plan = plan_of(settings(final), panels=(back,), materials=(material(), thick))
    assert wait_of(plan).from_seconds > one(Peel.COLD).from_seconds + 20
    assert plan.passes[0].heat is not None
    assert plan.passes[0].heat.piece == "number.1"


def test_the_heat_states_follow_the_steps_with_carrier_and_sheet() -> None:
    each = single_plan(Peel.COLD, sheet=True).passes[0]
    assert each.heat is not None
    states = {
        state.phase: (state.films, state.carrier, state.sheet, state.closed)
        for state in each.heat.states
    }
    assert list(states) == [step.phase.value for step in each.steps]
    assert states[Phase.LAY.value] == (0, False, False, False)
    assert states[Phase.COVER.value] == (1, True, False, False)
    assert states[Phase.FINAL.value] == (1, True, True, True)
    assert states[Phase.INSPECT.value] == (1, False, False, False)


def test_the_plan_lists_the_heat_left_for_the_fabric_and_every_piece() -> None:
    spare = {each.owner: each.spare_seconds for each in single_plan(Peel.COLD).passes[0].heat_left}
    assert spare == {"fabric": 60 - 20, "name.1": 60 - 15, "number.1": 60 - 15}


def test_a_plan_read_from_the_log_keeps_its_heat_and_fingerprint() -> None:
    plan = single_plan(Peel.COLD)
    assert plan.passes[0].heat is not None
    again = from_json(to_json(plan), Plan)
    assert again == plan
    assert fingerprint(again) == fingerprint(plan)
