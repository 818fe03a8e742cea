"""Properties that hold for every recipe that can be planned."""

from __future__ import annotations

import re
from functools import partial

from hypothesis import HealthCheck, assume, given
from hypothesis import settings as profile
from plan_samples import ROSTER
from random_sheets import Job as Sheets
from random_sheets import jobs

from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import StationSettings
from kiosk.catalog.model.orders import Job
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.rules.faces import read_face
from kiosk.log.store import codec
from kiosk.plan.fingerprint import fingerprint
from kiosk.plan.model import HOT_PHASES, PanelRefusal, Pass, PeelPlace, Phase, Plan
from kiosk.plan.procedure import plan_job
from kiosk.plan.settings import can_press
from kiosk.plan.time.finish import minutes

LETTERS = {
    Phase.LOAD: "l",
    Phase.PRE_PRESS: "p",
    Phase.LAY: "a",
    Phase.TACK: "t",
    Phase.REMOVE_CARRIER: "r",
    Phase.LAY_TOP: "A",
    Phase.COVER: "c",
    Phase.FINAL: "f",
    Phase.PEEL: "e",
    Phase.INSPECT: "i",
}
# load, pre-press; stacks layer by layer; one-layer pieces; sheet, final, peels, inspect
ORDER = re.compile(r"lp?(atr+(Atr+)*)?a?c?fe{0,3}i")

quick = partial(
    profile,
    max_examples=50,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def planned(sheets: Sheets) -> Plan:
    recipe, fabric, press, policy, materials = sheets
    assume(can_press(*sheets))  # the reasons for a refusal take longer to find than a plan
    catalog = Catalog(
        materials=materials,
        fabrics={fabric.key: fabric},
        presses={press.key: press},
        policy=policy,
        station=StationSettings(),
        recipes={recipe.key: recipe},
    )
    job = Job("j", "", "Job", recipe.key, fabric.key, press.key, ROSTER, "")
    plan = plan_job(job, catalog, read_face())
    assume(not isinstance(plan, PanelRefusal))
    assert isinstance(plan, Plan)
    return plan


def letters(each: Pass) -> str:
    return "".join(LETTERS[step.phase] for step in each.steps)


@quick()
@given(jobs())
def test_the_phases_of_every_pass_are_in_order(sheets: Sheets) -> None:
    for each in planned(sheets).passes:
        assert ORDER.fullmatch(letters(each)), letters(each)


@quick()
@given(jobs())
def test_the_steps_give_each_panel_the_heat_of_its_settings(sheets: Sheets) -> None:
    plan = planned(sheets)
    for panel in plan.settings:
        steps = [s for p in plan.passes if p.panel == panel.panel for s in p.steps]
        seconds = sum(s.seconds or 0 for s in steps if s.phase in HOT_PHASES)
        assert seconds == panel.fabric_heat_seconds


@quick()
@given(jobs())
def test_no_closing_is_planned_longer_than_its_tightest_limit(sheets: Sheets) -> None:
    for each in planned(sheets).passes:
        for step in each.steps:
            if step.seconds is not None and step.most_seconds is not None:
                assert step.seconds <= step.most_seconds


@quick()
@given(jobs())
def test_every_carrier_comes_off_once_and_every_piece_is_laid_once(sheets: Sheets) -> None:
    plan = planned(sheets)
    for panel in {each.panel for each in plan.passes}:
        steps = [s for p in plan.passes if p.panel == panel for s in p.steps]
        laid = [p for s in steps if s.phase in (Phase.LAY, Phase.LAY_TOP) for p in s.pieces]
        freed = [p for s in steps if s.phase in (Phase.REMOVE_CARRIER, Phase.PEEL)
                 for p in s.pieces]  # fmt: skip
        assert sorted(laid) == sorted(p.name for p in plan.pieces if p.panel == panel)
        with_carrier = [p.name for p in plan.pieces
                        if p.panel == panel and sheets[4][p.material].carrier]  # fmt: skip
        assert sorted(freed) == sorted(with_carrier)


@quick()
@given(jobs())
def test_a_carrier_comes_off_for_the_next_layer_only_if_one_follows(sheets: Sheets) -> None:
    """The reason shown in practice is true of this very step."""
    for each in planned(sheets).passes:
        for nth, step in enumerate(each.steps):
            if step.phase is Phase.REMOVE_CARRIER:
                freed = {piece.rpartition(".")[0] for piece in step.pieces}
                later = {p.rpartition(".")[0] for s in each.steps[nth:] for p in s.pieces
                         if s.phase is Phase.LAY_TOP}  # fmt: skip
                assert step.why is not None
                assert (step.why.id == "plan.why.carrier") is bool(freed & later)


@quick()
@given(jobs())
def test_every_pass_is_in_one_run_and_only_a_runs_last_pass_waits(sheets: Sheets) -> None:
    plan = planned(sheets)
    assert [i for run in plan.runs for i in run] == list(range(len(plan.passes)))
    for run in plan.runs:
        for index in run[:-1]:
            assert plan.passes[index].place is PeelPlace.PRESS
    for each in plan.passes:
        later = each.wait is not None and each.wait.peel is not Peel.HOT
        assert later == (each.place is not PeelPlace.PRESS)


@quick()
@given(jobs())
def test_a_plan_read_from_the_log_keeps_its_fingerprint(sheets: Sheets) -> None:
    plan = planned(sheets)
    back = codec.from_json(codec.to_json(plan), Plan)
    assert back == plan
    assert fingerprint(back) == fingerprint(plan)


@quick()
@given(jobs())
def test_the_quick_time_is_never_above_the_slow_one(sheets: Sheets) -> None:
    low, high = minutes(planned(sheets), 40)
    assert 0 < low <= high
