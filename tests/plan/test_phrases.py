"""The sentence of each step."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import (
    catalog,
    closing,
    element,
    material,
    plan_of,
    press,
    settings,
    single_plan,
    stack_plan,
)

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Limit, PanelRefusal, PeelWait, Plan
from kiosk.plan.phrases import phrase
from kiosk.plan.refusals import limit_words, refusal_words
from kiosk.words import Words

WORDS = Words("en")


def sentences(plan: Plan) -> list[str]:
    return [WORDS.say(phrase(plan, each, s)) for each in plan.passes for s in each.steps]


def test_the_load_step_names_the_panel_and_the_collars_side() -> None:
    assert "back, collar toward you" in sentences(stack_plan())[0]
    assert "collar away from you" in sentences(stack_plan(press=press(toward=False)))[0]


@pytest.mark.parametrize("name", ["shorts", "left-leg", "trousers", "pantalon-izquierdo"])
def test_a_leg_is_loaded_by_its_waistband(name: str) -> None:
    """Shorts and trousers have no collar (common practice, no source)."""
    leg = Panel(name, (element("name", "red"),))
    (load, *_) = sentences(plan_of(replace(settings(closing("name.1")), panel=name), panels=(leg,)))
    assert "waistband toward you" in load
    assert "collar" not in load


def test_a_closing_states_seconds_temperature_pressure_and_sheet() -> None:
    lines = sentences(stack_plan())
    assert lines[3] == "Tack 2 s at 280 °F, pressure medium to medium-firm, no sheet"
    assert lines[9] == "Final press 15 s at 280 °F, pressure medium to medium-firm, sheet on"


def test_a_lay_step_names_its_elements_and_colour() -> None:
    assert sentences(stack_plan())[2] == "Liner off, then lay in black: name, number"


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        ("white", "Liner off, then lay: name in red, number in white"),
        ("", "Liner off, then lay: name in red, number"),  # design.md, section 5: may be left out
    ],
)
def test_a_lay_step_in_two_colours_names_each_pieces_colour(number: str, sentence: str) -> None:
    back = Panel("back", (element("name", "red"), element("number", number)))
    plan = plan_of(settings(closing("name.1", "number.1")), panels=(back,))
    assert sentences(plan)[2] == sentence


@pytest.mark.parametrize(
    ("peel", "sentence"),
    [
        (Peel.HOT, "Peel hot: name, number"),
        (Peel.WARM, "Keep it in hand, flat, off the platen; peel warm 8 to 25 s after opening"),
        (Peel.COLD, "Lay it flat on the rack; peel cold 60 to 240 s after opening"),
    ],
)
def test_a_peel_says_when_and_where(peel: Peel, sentence: str) -> None:
    film = material(waits={Peel.WARM: ("8 s", "25 s"), Peel.COLD: ("60 s", "240 s")})
    assert sentences(single_plan(peel, materials=(film,)))[4].startswith(sentence)


@pytest.mark.parametrize(("peel", "late"), [(Peel.WARM, True), (Peel.COLD, False)])
def test_an_estimate_has_a_range_and_is_called_an_estimate(peel: Peel, late: bool) -> None:
    plan = single_plan(peel)
    ready, sentence = (plan.passes[0].wait or PeelWait(peel, 0, 0, "")).ready, sentences(plan)[4]
    assert ready is not None
    assert f"ready between {ready.low:.0f} and {ready.high:.0f} s" in sentence
    assert "estimated from the heat in the stack" in sentence
    assert ("about" in sentence and " to " in sentence) is late


def test_liner_before_heat_and_carrier_after_are_never_confused() -> None:
    before_heat, after_heat = (sentences(stack_plan())[n].lower() for n in (2, 4))
    assert "liner" in before_heat
    assert "carrier" not in before_heat
    assert "carrier" in after_heat
    assert "liner" not in after_heat


def test_suggested_changes_use_titles_instead_of_keys() -> None:
    """A key of a file means nothing to the operator (Material.title: "Film film")."""
    changes = (
        say("settings.change.material", pieces=("name.1", "name.2"), materials=("film (280 F)",)),
        say("settings.change.one_layer", layers=("name.1 film",)),
        say("settings.change.closing", closings=3),
    )
    refusal = PanelRefusal("back", (), {}, changes)
    lines = [WORDS.say(each) for each in refusal_words(refusal, catalog(()))[1:]]
    assert lines == [
        "Use another material for name, layer 1; name, layer 2: Film film (280 °F)",
        "Press only one layer: name, layer 1 (Film film)",
        "Allow 3 closings in the shop's policy",
    ]
    limit = Limit("fabric", "temperature_max", "305 F")  # written like degrees elsewhere
    assert WORDS.say(limit_words(limit)) == "the fabric: 305 °F at most"
