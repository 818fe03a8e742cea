"""The steps of a plan, in the order of design.md section 3."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from plan_samples import (
    F,
    catalog,
    closing,
    element,
    fabric,
    job,
    material,
    plan_of,
    settings,
    single_plan,
    stack_plan,
    tack,
)

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Material, Peel, SheetRule
from kiosk.plan.model import HOT_PHASES, Phase, Plan
from kiosk.plan.procedure import make_plan
from kiosk.words import Words

LAYERED = [
    Phase.LOAD,
    Phase.PRE_PRESS,
    Phase.LAY,
    Phase.TACK,
    Phase.REMOVE_CARRIER,
    Phase.LAY_TOP,
    Phase.TACK,
    Phase.REMOVE_CARRIER,
    Phase.COVER,
    Phase.FINAL,
    Phase.INSPECT,
]


def phases(plan: Plan, index: int = 0) -> list[Phase]:
    return [step.phase for step in plan.passes[index].steps]


def mixed_plan() -> Plan:
    """Return the plan of a two-layer number with a one-layer name beside it."""
    back = Panel("back", (element("name", "red"), element("number", "black", "white")))
    return plan_of(
        settings(
            tack("number.1"),
            tack("number.2", heated=("number.1", "number.2")),
            closing("name.1", "number.1", "number.2", sheet=True, peel={"name.1": Peel.WARM}),
        ),
        panels=(back,),
    )


def test_a_two_layer_stack_goes_through_all_phases_but_peel() -> None:
    assert phases(stack_plan()) == LAYERED


def test_a_pass_records_the_temperatures_its_films_allow() -> None:
    assert stack_plan().films == single_plan(Peel.COLD).films == ((260, 300),)  # as the sample's


@pytest.mark.parametrize(
    ("bare", "after"),
    [
        (SheetRule.REQUIRED, True),
        (SheetRule.OPTIONAL, False),
        (SheetRule.FORBIDDEN, False),
        (SheetRule.NO_PRESS, None),
    ],
)
def test_a_pass_records_whether_re_pressing_has_the_sheet_on(
    bare: SheetRule, after: bool | None
) -> None:
    """Rule 7 of design.md section 4, with the carriers that are off by then."""
    films = (material(bare=bare),)
    assert single_plan(Peel.COLD, materials=films).sheets_again == ((False, after),)


def test_after_each_peel_bare_and_covered_faces_decide_the_sheet_together() -> None:
    back = Panel("back", (element("name", "red", key="lace"), element("number", "red")))
    pressed = settings(
        closing("name.1", "number.1", peel={"name.1": Peel.HOT, "number.1": Peel.COLD})
    )
    for bare, again in (
        (SheetRule.FORBIDDEN, (False, False, None)),  # contradicts the bare number's rule
        (SheetRule.REQUIRED, (False, True, True)),
        (SheetRule.NO_PRESS, (False, None, None)),
    ):
        films = (material("lace", bare=bare), material())
        assert plan_of(pressed, panels=(back,), materials=films).sheets_again == (again,)
    assert stack_plan().sheets_again == ((True,),)


@pytest.mark.parametrize(
    ("limits", "blocks", "hottest"),
    [
        ({"temperature_max": F("290 F")}, False, 290),
        ({"dye_cap": F("285 F")}, False, 285),
        ({"dye_cap": F("285 F")}, True, 300),  # the cap holds unless every piece blocks dye
    ],
)
def test_a_pass_records_no_temperature_its_cloth_cannot_take(
    limits: dict[str, Any], blocks: bool, hottest: int
) -> None:
    """A plan without margin is at the cloth's own limit: no reading above it may count as fine."""
    sheets = (replace(material(), blocks_dye=blocks),)
    plan = stack_plan(fabric=replace(fabric(), **limits), materials=sheets)
    assert plan.films == ((260, hottest),)


def test_one_layer_pieces_are_laid_pressed_and_peeled() -> None:
    assert phases(single_plan(Peel.COLD)) == [
        Phase.LOAD,
        Phase.PRE_PRESS,
        Phase.LAY,
        Phase.FINAL,
        Phase.PEEL,
        Phase.INSPECT,
    ]


def test_a_third_layer_is_laid_and_tacked_like_the_second() -> None:
    back = Panel("back", (element("number", "black", "white", "red"),))
    one, two, three = "number.1", "number.2", "number.3"
    plan = plan_of(
        settings(
            tack(one),
            tack(two, heated=(one, two)),
            tack(three, heated=(one, two, three)),
            closing(one, two, three, sheet=True),
        ),
        panels=(back,),
    )
    top = [Phase.LAY_TOP, Phase.TACK, Phase.REMOVE_CARRIER]
    assert phases(plan) == LAYERED[:5] + top + top + LAYERED[8:]


def test_one_layer_pieces_beside_a_stack_are_laid_after_the_last_tack() -> None:
    plan = mixed_plan()
    last = [Phase.REMOVE_CARRIER, Phase.LAY, Phase.COVER, Phase.FINAL, Phase.PEEL, Phase.INSPECT]
    assert phases(plan)[-6:] == last
    laid = [step.pieces for step in plan.passes[0].steps if step.phase is Phase.LAY]
    assert laid == [("number.1",), ("name.1",)]


def test_only_pieces_with_a_carrier_at_the_final_are_peeled() -> None:
    this = mixed_plan().passes[0]
    assert this.carriers == ("name.1",)
    assert [step.pieces for step in this.steps if step.phase is Phase.PEEL] == [("name.1",)]


def test_without_a_carrier_there_is_no_peel_and_nothing_to_wait_for() -> None:
    plan = single_plan(None)
    assert Phase.PEEL not in phases(plan)
    assert plan.passes[0].wait is None


def test_there_is_a_cover_sheet_step_only_if_the_final_needs_it() -> None:
    assert Phase.COVER in phases(single_plan(sheet=True))
    assert Phase.COVER not in phases(single_plan(sheet=False))


def test_a_fabric_that_asks_for_no_pre_press_gets_none() -> None:
    plan = single_plan(fabric=fabric(pre_press="0 s"), pre_press=0)
    assert Phase.PRE_PRESS not in phases(plan)


def test_only_a_panels_first_pass_has_a_pre_press() -> None:
    back = Panel("back", (element("name", "red"), element("number", "red")))
    front = Panel("front", (element("number", "red"),))
    plan = plan_of(
        settings(
            closing("name.1", peel={"name.1": Peel.HOT}),
            closing("number.1", group=1, temperature=270, heated=("name.1", "number.1")),
        ),
        settings(closing("number.1"), panel="front"),
        panels=(back, front),
    )
    first = [[s.phase for s in each.steps][1] for each in plan.passes]
    assert first == [Phase.PRE_PRESS, Phase.LAY, Phase.PRE_PRESS]


def test_staged_carriers_come_off_hottest_first_in_separate_steps() -> None:
    back = Panel("back", (element("name", "red"), element("number", "red")))
    peels = {"name.1": Peel.COLD, "number.1": Peel.HOT}
    plan = plan_of(settings(closing("name.1", "number.1", peel=peels)), panels=(back,))
    peeled = [(s.peel, s.pieces) for s in plan.passes[0].steps if s.phase is Phase.PEEL]
    assert peeled == [(Peel.HOT, ("number.1",)), (Peel.COLD, ("name.1",))]
    assert [wait.peel for wait in plan.passes[0].stages] == [Peel.HOT, Peel.COLD]
    assert plan.passes[0].wait == plan.passes[0].stages[-1]


def test_pieces_are_laid_in_the_recipes_order() -> None:
    back = Panel("back", (element("number", "red"), element("name", "red")))
    plan = plan_of(settings(closing("name.1", "number.1")), panels=(back,))
    assert plan.passes[0].steps[2].pieces == ("number.1", "name.1")


def test_hand_steps_show_the_sheet_of_the_closing_they_lead_to() -> None:
    sheets = [(step.phase, step.sheet) for step in stack_plan().passes[0].steps]
    assert dict(sheets[:7]) == dict.fromkeys(LAYERED[:7], False)
    assert sheets[7:] == [
        (Phase.REMOVE_CARRIER, True),
        (Phase.COVER, True),
        (Phase.FINAL, True),
        (Phase.INSPECT, False),
    ]


def test_a_tack_under_the_sheet_shows_it_from_the_lay_step_on() -> None:
    back = Panel("back", (element("number", "black", "white"),))
    plan = plan_of(
        settings(
            tack("number.1"),
            tack("number.2", heated=("number.1", "number.2"), sheet=True),
            closing("number.1", "number.2", sheet=True),
        ),
        panels=(back,),
    )
    steps = plan.passes[0].steps
    assert [s.sheet for s in steps if s.phase is Phase.TACK] == [False, True]
    assert [s.sheet for s in steps if s.phase is Phase.LAY_TOP] == [True]


def test_only_hot_steps_have_seconds_and_a_temperature() -> None:
    for step in stack_plan().passes[0].steps:
        hot = step.phase in HOT_PHASES
        assert (step.seconds is not None) is hot
        assert (step.temperature is not None) is hot


def test_every_step_gives_its_reason_in_a_sentence() -> None:
    words = Words("en")
    for plan in (stack_plan(), mixed_plan(), single_plan(Peel.COLD)):
        for step in plan.passes[0].steps:
            assert step.why is not None
            assert words.say(step.why)


def test_the_cover_sheets_reason_names_the_elements_that_require_it() -> None:
    plan = single_plan(sheet=True, materials=(material(bare=SheetRule.OPTIONAL),))
    quiet = next(s for s in plan.passes[0].steps if s.phase is Phase.COVER).why
    reason = next(s for s in stack_plan().passes[0].steps if s.phase is Phase.COVER).why
    assert quiet is not None
    assert reason is not None
    assert quiet.values["elements"] == ()
    assert reason.values["elements"] == (say("element.name"), say("element.number"))


def tack_reasons(sheets: tuple[bool, bool], film: Material) -> list[str]:
    """Return the ids of why the two tacks of a stack have the sheet on or off."""
    back = Panel("back", (element("name", "black", "white"),))
    own = ("name.1", "name.2")
    tacks = (tack("name.1", sheet=sheets[0]), tack("name.2", heated=own, sheet=sheets[1]))
    plan = plan_of(settings(*tacks, closing(*own)), panels=(back,), materials=(film,))
    steps = [each for each in plan.passes[0].steps if each.phase is Phase.TACK]
    return [each.why.id.removeprefix("plan.why.") for each in steps if each.why]


def test_a_tacks_reason_mentions_bare_film_only_if_some_requires_the_sheet() -> None:
    """Rules 6 and 7 of design.md, section 4: whose rule puts the sheet on, or would."""
    strict, quiet = material(), material(bare=SheetRule.OPTIONAL)
    assert tack_reasons((False, False), strict) == ["tack", "tack_bare"]  # the policy's short tack
    assert tack_reasons((False, True), strict) == ["tack", "tack_sheet"]
    assert tack_reasons((False, False), quiet) == ["tack", "tack"]  # no piece requires it
    carried = replace(quiet, sheet_carrier_on=SheetRule.REQUIRED)
    assert tack_reasons((True, True), carried) == ["cover", "cover"]  # the carrier's own rule


@pytest.mark.parametrize(("plan", "taps"), [(single_plan(), 3), (stack_plan(), 5)])
def test_taps_are_all_closings_plus_one_for_each_pass(plan: Plan, taps: int) -> None:
    assert plan.taps_per_garment == taps


def test_pieces_with_the_same_name_on_two_panels_stay_separate() -> None:
    panels = (
        Panel("back", (element("number", "black", height="9 in"),)),
        Panel("front", (element("number", "red"),)),
    )
    solved = settings(closing("number.1"))
    plan = make_plan(job(), catalog(panels), (solved, replace(solved, panel="front")))
    found = {(p.panel, p.name): (p.colour, p.height_inches) for p in plan.pieces}
    assert found == {("back", "number.1"): ("black", 9.0), ("front", "number.1"): ("red", None)}
