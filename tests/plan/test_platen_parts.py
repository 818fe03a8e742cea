"""A panel too long for the platen: its parts, their settings, their passes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from place_samples import FACE
from plan_samples import S, catalog, element, job, material, press

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.orders import RosterLine
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import HOT_PHASES, PanelRefusal, Phase, Plan
from kiosk.plan.phrases import pass_words, phrase
from kiosk.plan.place.placement import class_of, seam_ruler
from kiosk.plan.procedure import plan_job
from kiosk.plan.sizes import EDGE, Extent, lies_under, part_seam, parts
from kiosk.words import Words

ADULTS = (RosterLine("1", "AL", "KOVA", "31"), RosterLine("2", "AS", "FENN", "00"))
LOW = (RosterLine("1", "YM", "QUILLON", "31"),)  # a Q hangs lowest: 0.35 of a capital
BOTH = (RosterLine("1", "AL", "KOVA", "31"), RosterLine("2", "YM", "FENN", "7"))


def planned(
    *elements: str,
    platen: str = "13 in",
    roster: tuple[RosterLine, ...] = ADULTS,
    layers: tuple[str, ...] = ("black", "white"),
    **parts: object,
) -> Plan | PanelRefusal:
    keys = parts.pop("keys", {})
    assert isinstance(keys, dict)
    back = Panel(
        "back",
        tuple(element(e, *layers, key=keys.get(e, "film")) for e in elements or ("name", "number")),
    )
    bench = replace(press(), platen_height=amounts.length(platen))
    return plan_job(job(roster), catalog((back,), press=bench, **parts), FACE)


def plan(*elements: str, **parts: object) -> Plan:
    answer = planned(*elements, **parts)  # type: ignore[arg-type]  # names of parts
    assert isinstance(answer, Plan), answer
    return answer


def test_parts_are_passes_from_the_collar_down_in_any_recipe_order() -> None:
    made = plan("number", "name")
    assert [each.part and each.part.elements for each in made.passes] == [("name",), ("number",)]
    laid = [[s.pieces for s in each.steps if s.phase is Phase.LAY] for each in made.passes]
    assert laid == [[("name.1",)], [("number.1",)]]
    assert made.runs == ((0, 1),)  # one setting and no wait: garment by garment


def test_a_panel_in_parts_is_pre_pressed_once_and_every_closing_is_a_tap() -> None:
    made = plan()
    hot = [[s.phase for s in each.steps if s.phase in HOT_PHASES] for each in made.passes]
    stack = [Phase.TACK, Phase.TACK, Phase.FINAL]
    assert hot == [[Phase.PRE_PRESS, *stack], stack]
    assert made.taps_per_garment == (4 + 1) + (3 + 1)


def test_a_panel_that_fits_is_pressed_whole() -> None:
    (one,) = plan(platen="20 in").passes
    assert one.part is None


@pytest.mark.parametrize(
    ("elements", "platen"),
    [
        (("name", "number", "crest"), "18 in"),
        (("name", "number", "crest", "badge"), "20 in"),
        (("number", "crest"), "15 in"),
    ],
)
def test_an_assumed_height_does_not_split_a_panel(elements: tuple[str, ...], platen: str) -> None:
    """The settings have one closing (design.md, section 4); a crest's height was only assumed."""
    (one,) = plan(*elements, platen=platen, layers=("black",)).passes
    assert one.part is None


def test_a_stated_height_can_split_a_panel() -> None:
    three = ("name", "number", "crest")
    back = Panel("back", tuple(element(e, "black") for e in three))
    crest = replace(back.elements[2], height=amounts.length("4 in"))
    tall = replace(back, elements=(*back.elements[:2], crest))
    bench = replace(press(), platen_height=amounts.length("20 in"))
    made = plan_job(job(ADULTS), catalog((tall,), press=bench), FACE)
    assert isinstance(made, Plan)
    assert [each.part and each.part.elements for each in made.passes] == [three[:2], three[2:]]


def test_an_earlier_part_off_the_platen_is_not_heated_again() -> None:
    made = plan()
    second = made.passes[1].part
    assert second is not None
    assert (second.nth, second.of, second.under) == (2, 2, ())
    # Adult: the name ends 6.5 in below the seam, J or comma not counted; a quarter inch clear.
    assert second.seam_rulers == {"adult": pytest.approx(-6.875, abs=0.13)}
    (settings,) = made.settings
    assert [c.heated for c in settings.closings][-1] == ("number.1", "number.2")
    assert settings.element_heat_seconds["name.1"] == 2 + 2 + 15
    assert settings.fabric_heat_seconds == 5 + 2 * (2 + 2 + 15)  # where both areas overlap


@pytest.mark.parametrize("platen", [11.25, 11.5, 12.0, 12.4, 13.0, 15.0])
@pytest.mark.parametrize("name_ends", [6.5, 7.5, 7.9])
def test_a_later_part_is_wholly_on_the_usable_platen(platen: float, name_ends: float) -> None:
    """Half an inch inside both edges, however far that would move the part before it off."""
    number, name = Extent("number", 8.0, 18.15), Extent("name", 4.0, name_ends)
    seam = part_seam((number,), (name,), platen)
    assert number.top + seam >= EDGE
    assert number.low + seam <= platen - EDGE


def test_an_element_that_still_fits_joins_the_part_before_it() -> None:
    """11 of 12 in press evenly: name and number would take 12, number and crest exactly 11."""
    spans = (Extent("name", 0.0, 3.0), Extent("number", 4.0, 12.0), Extent("crest", 13.0, 15.0))
    assert [each.elements for each in parts(spans, 12.0)] == [("name",), ("number", "crest")]


def test_a_size_class_not_in_the_order_uses_the_other_classs_ruler() -> None:
    """A row's size may change after the plan was made."""
    second = plan().passes[1].part
    assert second is not None
    assert seam_ruler(second, "YM") == second.seam_rulers["adult"]


def test_if_no_eighth_of_an_inch_fits_the_seam_is_between_two() -> None:
    """10.1 in on 10.12 usable: the seam may lie 7.53 to 7.55 in past the edge, not 7 5/8."""
    number, name = Extent("number", 8.05, 18.15), Extent("name", 4.0, 6.5)
    assert part_seam((number,), (name,), 11.12) == pytest.approx(-7.53)


@pytest.mark.parametrize(("name_ends", "platen", "seam"), [(7.25, 13.0, -7.5), (7.75, 11.2, -7.5)])
def test_a_part_may_touch_the_edge_of_the_usable_platen(
    name_ends: float, platen: float, seam: float
) -> None:
    """A number from 8 in on is half an inch inside the edge with the seam at -7.5.

    There a name that ends at 7.25 in is a quarter inch off the platen; one that ends at 7.75 in
    cannot be.
    """
    number, name = Extent("number", 8.0, 18.15), Extent("name", 4.0, name_ends)
    assert part_seam((number,), (name,), platen) == seam


@pytest.mark.parametrize(("beyond", "heated"), [(0.1, True), (0.25, False), (0.3, False)])
def test_an_element_near_a_platens_edge_counts_as_heated(beyond: float, heated: bool) -> None:
    """Garments are laid by hand: less than a quarter inch clear counts as under the platen."""
    name = Extent("name", 4.0, 6.5)
    assert lies_under(name, -6.5 - beyond, 13.0) is heated
    assert lies_under(Extent("other", 20.0, 22.0), -7.0 + beyond, 13.0) is heated


def test_a_name_that_cannot_be_moved_off_the_platen_is_a_passenger() -> None:
    made = plan(roster=LOW, platen="12 in")
    second = made.passes[1].part
    assert second is not None
    assert second.under == ("name",)
    (settings,) = made.settings
    assert settings.closings[-1].heated == ("name.1", "name.2", "number.1", "number.2")
    assert settings.element_heat_seconds["name.1"] == 2 * (2 + 2 + 15)


def test_a_policy_of_one_closing_per_panel_allows_one_per_part() -> None:
    assert len(plan(policy=Policy(max_closings=1)).passes) == 2


def test_a_cold_peel_sends_the_whole_lot_through_one_part_first() -> None:
    cold = replace(
        material("cold", tack=False),
        peel=(replace(material().peel[0], allowed=frozenset({Peel.COLD})),),
        total_heat=S("60 s"),
    )
    made = plan(layers=("red",), materials=(cold,), keys={"name": "cold", "number": "cold"})
    assert made.runs == ((0,), (1,))
    assert "peel_before_next_closing" in made.settings[0].warnings


def test_youth_and_adult_share_a_procedure_with_separate_ruler_marks() -> None:
    first, second = (each.part for each in plan(roster=BOTH, platen="14 in").passes)
    assert first is not None
    assert second is not None
    assert set(first.seam_rulers) == {"youth", "adult"}
    assert seam_ruler(second, "AL") < seam_ruler(second, "YM") < 0
    assert class_of("XXS") is class_of("AL")
    assert seam_ruler(second, "XXS") == seam_ruler(second, "AL")
    (whole,) = plan(roster=BOTH[1:], platen="14 in").passes  # youth alone fits
    assert whole.part is None


def test_a_pass_of_a_part_is_named_by_its_elements() -> None:
    made = plan()
    names = [Words("en").say(pass_words(made, each)) for each in made.passes]
    assert names == ["back (name)", "back (number)"]
    whole = plan(platen="20 in")
    assert Words("en").say(pass_words(whole, whole.passes[0])) == "back"


def test_a_ruler_mark_shared_by_youth_and_adult_is_stated_once() -> None:
    made = plan(roster=BOTH, platen="14 in")
    first, second = (Words("en").say(phrase(made, p, p.steps[0])) for p in made.passes)
    assert "its seam at 1 in on the ruler:" in first
    edge = "in past the platen's edge for"
    assert f"its seam 6 7/8 {edge} adult sizes, 5 1/4 {edge} youth sizes: seams" in second
    spanish = Words("es").say(phrase(made, made.passes[1], made.passes[1].steps[0]))
    assert "en tallas de adulto, " in spanish
    assert "en tallas juveniles: " in spanish


def test_the_load_step_says_where_the_collar_seam_goes() -> None:
    made = plan()
    first, second = (Words("en").say(phrase(made, p, p.steps[0])) for p in made.passes)
    assert "for name, collar toward you, its seam at 1 in on the ruler" in first
    assert "for number, collar toward you, its seam 6 7/8 in past the platen's edge" in second
    metric = Words("en", metric=True).say(phrase(made, made.passes[1], made.passes[1].steps[0]))
    assert "its seam 175 mm past the platen's edge" in metric
