"""The longest that each closing may last: the tightest of film, cloth and totals."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import (
    F,
    S,
    closing,
    element,
    fabric,
    material,
    plan_of,
    settings,
    single_plan,
    stack_plan,
)

from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import DwellCap
from kiosk.plan.model import Phase


@pytest.mark.parametrize(
    ("cloth", "most"),
    [
        (fabric(at_most="18 s"), 18),  # the cloth's limit for one closing
        (fabric(at_most="60 s"), 20),  # the film's own limit
        (fabric(at_most="60 s", total="22 s"), 17),  # the cloth's total minus 5 s of pre-press
    ],
)
def test_the_tightest_limit_decides_the_longest_final(cloth: object, most: int) -> None:
    final = next(s for s in single_plan(fabric=cloth).passes[0].steps if s.phase is Phase.FINAL)
    assert final.most_seconds == most


@pytest.mark.parametrize(
    ("first", "second"),
    [(("0 F", "280 F"), ("281 F", "320 F")), (("0 F", "279 F"), ("280 F", "320 F"))],
)
def test_the_edge_of_a_cloths_band_belongs_to_that_band(
    first: tuple[str, str], second: tuple[str, str]
) -> None:
    """Pressed at 280 F, where a band ends or begins."""
    own, other = ("12 s", "19 s") if first[1] == "280 F" else ("19 s", "12 s")
    caps = (
        DwellCap(F(first[0]), F(first[1]), S(own)),
        DwellCap(F(second[0]), F(second[1]), S(other)),
    )
    plan = single_plan(fabric=replace(fabric(), dwell_max=caps))
    final = next(s for s in plan.passes[0].steps if s.phase is Phase.FINAL)
    assert (final.temperature, final.most_seconds) == (280, 12)


@pytest.mark.parametrize("edge", ["280 F", "281 F"])
def test_the_edge_of_a_films_band_belongs_to_that_band(edge: str) -> None:
    """Pressed at 280 F, where the first band ends or the second begins."""
    plain = material()
    (band,) = plain.dwell
    end, start = ("280 F", "281 F") if edge == "281 F" else ("279 F", "280 F")
    short, long = ("16 s", "19 s") if edge == "281 F" else ("19 s", "16 s")
    bands = (replace(band, end=F(end), high=S(short)), replace(band, start=F(start), high=S(long)))
    plan = single_plan(
        materials=(replace(plain, dwell=bands),), fabric=fabric(at_most="60 s", total="90 s")
    )
    final = next(s for s in plan.passes[0].steps if s.phase is Phase.FINAL)
    assert (final.temperature, final.most_seconds) == (280, 16)


@pytest.mark.parametrize(("temperature", "most"), [(284, 11), (285, 10), (286, 10)])
def test_between_celsius_bands_in_fahrenheit_the_stricter_band_of_the_cloth_counts(
    temperature: int, most: int
) -> None:
    """140 and 141 C are 284 and 286 F (checks.md, Units); design.md: a cloth has no hole at 285."""
    caps = (DwellCap(F("0 C"), F("140 C"), S("11 s")), DwellCap(F("141 C"), F("160 C"), S("10 s")))
    back = Panel("back", (element("name", "red"),))
    final = settings(closing("name.1", temperature=temperature, dwell=10))
    cloth = replace(fabric(), dwell_max=caps)
    steps = plan_of(final, panels=(back,), fabric=cloth).passes[0].steps
    hot = [s.most_seconds for s in steps if s.phase in (Phase.PRE_PRESS, Phase.FINAL)]
    assert hot == [most, most]


def test_a_fraction_of_a_second_is_rounded_down() -> None:
    """design.md: whole seconds; 12 s would exceed 11.6 s."""
    film = material()
    (band,) = film.dwell
    assert film.tack is not None
    film = replace(
        film, dwell=(replace(band, high=S("19.6 s")),), tack=replace(film.tack, high=S("2.7 s"))
    )
    tacks = stack_plan(materials=(film,)).passes[0].steps
    assert {s.most_seconds for s in tacks if s.phase is Phase.TACK} == {2}
    for cloth, most in ((fabric(at_most="11.6 s"), 11), (fabric(at_most="60 s", total="90 s"), 19)):
        steps = single_plan(fabric=cloth, materials=(film,)).passes[0].steps
        assert [s.most_seconds for s in steps if s.phase is Phase.FINAL] == [most]


def test_the_heat_a_passenger_can_still_take_limits_the_closing() -> None:
    short = replace(material("old"), total_heat=S("1 s"))
    back = Panel("back", (element("name", "red"), element("number", "red", key="old")))
    plan = plan_of(
        settings(closing("name.1", dwell=1, heated=("name.1", "number.1")), pre_press=5),
        panels=(back,),
        materials=(material(), short),
    )
    final = next(s for s in plan.passes[0].steps if s.phase is Phase.FINAL)
    assert final.most_seconds == 1


def test_the_films_tack_limit_decides_the_longest_tack() -> None:
    tacks = [s for s in stack_plan().passes[0].steps if s.phase is Phase.TACK]
    assert [(step.seconds, step.most_seconds) for step in tacks] == [(2, 3), (2, 3)]
