"""Changes are offered only after solving with them, in the order of design.md section 4."""

from __future__ import annotations

from dataclasses import replace

from settings_samples import (
    BOTH,
    NAME,
    NUMBER,
    STACK,
    S,
    cloth,
    element,
    film,
    offers,
    press,
    recipe,
    refused,
)

from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.sheets import SheetRule
from kiosk.plan.model import PanelRefusal
from kiosk.plan.settings import solve

ONE = Policy(max_closings=1)
COOL = film("other", (250, 270, 260))
TOO_HOT = film("film", (330, 340, 335))


def test_another_material_is_offered_with_its_working_temperature() -> None:
    cool, warm = film("cool", (240, 260, 250)), film("warm", (300, 310, 305))
    assert offers(refused((NAME,), TOO_HOT, cool, warm)) == [
        "Use another material for name.1: cool (250 F), warm (305 F)"
    ]


def test_a_material_that_would_fail_too_is_not_offered() -> None:
    assert offers(refused((NAME,), TOO_HOT, film("hotter", (340, 350, 345)))) == []


def test_both_layers_change_if_changing_one_is_not_enough() -> None:
    stack = (element("name", "film", "film"),)
    found = refused(stack, TOO_HOT, film("cool", (240, 260, 250)))
    assert "Use another material for name.1, name.2: cool (250 F)" in offers(found)


def test_one_element_changes_alone_if_that_is_enough() -> None:
    """A film without a tack cannot be stacked, but the number has only one layer of it."""
    elements = (element("name", "film", "film"), element("number", "film"))
    found = refused(elements, film(tack=None), film("cool", (240, 260, 250)))
    assert offers(found)[0] == "Use another material for name.1, name.2: cool (250 F)"


def test_the_whole_panel_changes_if_one_element_is_not_enough() -> None:
    found = refused((NAME, element("number", "film")), TOO_HOT, film("cool", (240, 260, 250)))
    assert offers(found) == ["Use another material for name.1, number.1: cool (250 F)"]


def test_swapping_layers_is_offered_if_that_makes_a_stack() -> None:
    lower = film(accepts_on_top=False)
    assert "Swap the layers: number.1 other, number.2 film" in offers(
        refused((STACK,), lower, film("other"))
    )


def test_stacks_are_swapped_together_if_one_is_not_enough() -> None:
    stacks = (element("name", "film", "other"), STACK)
    found = refused(stacks, film(accepts_on_top=False), film("other"))
    assert "Swap the layers: name.1 other, name.2 film, number.1 other, number.2 film" in offers(
        found
    )


def test_one_layer_is_offered_if_it_can_be_pressed() -> None:
    found = refused((STACK,), film(), film("other", (330, 340, 335)))
    assert offers(found) == [
        "Use another material for number.2: film (290 F)",
        "Press only one layer: number.1 film",
    ]


def test_one_layer_is_offered_once_if_both_use_one_material() -> None:
    """Two colours of one film: keeping one or the other is the same change."""
    found = refused((element("number", "film", "film"),), film(accepts_on_top=False))
    assert offers(found) == ["Press only one layer: number.1 film"]


def test_one_more_closing_is_offered_only_if_it_helps() -> None:
    assert "Allow 2 closings in the shop's policy" in offers(
        refused(BOTH, film(), COOL, policy=ONE)
    )
    alone = refused(BOTH, TOO_HOT, COOL, policy=ONE)
    assert not [offer for offer in offers(alone) if "closings" in offer]


def test_another_policy_is_offered_if_it_helps() -> None:
    strict = Policy(max_closings=1, staged_peel=False)
    found = refused(BOTH, film(), film("other", peeled=("cold",)), policy=strict)
    assert "Allow staged peel in the shop's policy" in offers(found)
    upper = film("other", sheet_carrier_on=SheetRule.FORBIDDEN)
    found = refused((STACK,), film(), upper, policy=Policy(bare_tack=False))
    assert "Allow a short tack on bare film in the shop's policy" in offers(found)


def test_another_fabric_is_offered_if_it_helps() -> None:
    fabrics = {"cloth": cloth(), "canvas": cloth("350 F"), "silk": cloth("250 F")}
    found = refused((NAME,), TOO_HOT, fabrics=fabrics)
    assert offers(found) == ["Use another fabric: canvas"]


def test_changes_are_listed_in_the_designs_order() -> None:
    fabrics = {"canvas": cloth("350 F", at_most=30, total=90)}
    lower = film(total_heat=S("9 s"))
    found = refused((STACK,), lower, film("other"), film("third"), fabrics=fabrics)
    assert offers(found) == [
        "Use another material for number.1: other (290 F), third (290 F)",
        "Swap the layers: number.1 other, number.2 film",
        "Press only one layer: number.1 film",
        "Press only one layer: number.1 other",
    ]
    policy = Policy(max_closings=1, staged_peel=False)
    thin = cloth(at_most=10)
    found = refused(
        BOTH, film(seconds=(11, 12, 11)), film("other"), policy=policy, on=thin, fabrics=fabrics
    )
    assert offers(found) == [
        "Use another material for name.1: other (290 F)",
        "Use another fabric: canvas",
    ]


def test_a_change_to_a_later_panel_is_solved_with_the_panels_before_it() -> None:
    """Another cloth must suit the back too: silk would suit only the front."""
    sheets = {"film": film(), "other": film("other", (330, 340, 335))}
    fabrics = {"canvas": cloth("350 F"), "silk": replace(cloth("350 F"), total_heat=S("5 s"))}
    found = solve(recipe([NAME], [NUMBER]), cloth(), press(), Policy(), sheets, fabrics)
    assert isinstance(found, PanelRefusal)
    assert offers(found) == [
        "Use another material for number.1: film (290 F)",
        "Use another fabric: canvas",
    ]


def test_changes_are_offered_only_for_the_failing_panel() -> None:
    sheets = {"film": TOO_HOT, "other": film("other")}
    found = solve(recipe([NAME], [NUMBER]), cloth(), press(), Policy(), sheets)
    assert isinstance(found, PanelRefusal)
    assert offers(found) == ["Use another material for name.1: other (290 F)"]


def test_no_change_exceeds_a_sheets_limits() -> None:
    """One more second would do, but the sheet does not allow it, so nothing is offered."""
    found = refused((NAME,), film(seconds=(10, 12, 10)), on=cloth(at_most=9))
    assert offers(found) == []


def test_a_fabric_that_would_spoil_a_later_panel_is_not_offered() -> None:
    """Silk bears the front's heat, but not the seconds of the back, which can be pressed now."""
    sheets = {"film": film("film", (330, 340, 335)), "other": film("other", seconds=(15, 18, 16))}
    fabrics = {"canvas": cloth("350 F"), "silk": cloth("350 F", at_most=12)}
    found = solve(recipe([NAME], [NUMBER]), cloth(), press(), Policy(), sheets, fabrics)
    assert isinstance(found, PanelRefusal)
    assert offers(found)[-1] == "Use another fabric: canvas"


def test_a_later_panel_that_cannot_be_pressed_anyway_spoils_no_offer() -> None:
    sheets = {"film": film("film", (330, 340, 335)), "other": film("other", (360, 370, 365))}
    fabrics = {"canvas": cloth("350 F")}
    found = solve(recipe([NAME], [NUMBER]), cloth(), press(), Policy(), sheets, fabrics)
    assert isinstance(found, PanelRefusal)
    assert offers(found)[-1] == "Use another fabric: canvas"
