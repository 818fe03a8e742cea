"""A peel's wait by kind of source: a rule wins, a guess never beats the estimate."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from plan_samples import closing, element, material, plan_of, settings, single_plan

from kiosk.catalog.model.house import Range
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel, Surface
from kiosk.catalog.model.source import Source, SourceKind, Sources
from kiosk.plan.heat.waits import (
    FROM_ESTIMATE,
    FROM_GUESS,
    FROM_SHEET,
    call_rests_on_guess,
    is_guessed,
    last_call,
    wait_words,
    with_guess,
)
from kiosk.plan.model import PeelWait
from kiosk.plan.phrases import phrase
from kiosk.words.speak import Words

SHEET = Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4", date="2026-03-01")
TRIAL = Source(SourceKind.SHOP_TRIAL, date="2026-04-02", initials="MV")
WORK = Source(SourceKind.PUBLISHED, work="Handbook of films", edition="2nd")
GUESS = Source(SourceKind.GUESS)
EARLY, LATE = ("1 s", "4 s"), ("500 s", "900 s")  # before, after any estimate


def waited(
    source: Source, wait: tuple[str, str] | None, surface: Surface = Surface.SMOOTH
) -> PeelWait:
    """Return the wait of a warm peel of a film with this wait written down."""
    waits = {} if wait is None else {Peel.WARM: wait}
    film = replace(material(waits=waits, source=Sources(source)), surface=surface)
    found = single_plan(Peel.WARM, materials=(film,)).passes[0].wait
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("source", "words"),
    [
        (SHEET, "supplier's sheet “Film sheet 4” of 2026-03-01"),
        (TRIAL, "shop trial of 2026-04-02 by MV"),
        (WORK, "published in “Handbook of films”, 2nd"),
    ],
)
@pytest.mark.parametrize("wait", [EARLY, LATE])
def test_a_rule_wins_over_the_estimate_and_is_named(
    source: Source, words: str, wait: tuple[str, str]
) -> None:
    found = waited(source, wait)
    assert [f"{found.from_seconds:g} s", f"{found.to_seconds:g} s"] == list(wait)
    assert (found.ready, found.guess) == (None, None)
    assert Words().say(wait_words(found)) == words


def test_a_guess_before_the_estimate_is_shown_but_does_not_count() -> None:
    estimate, found = waited(GUESS, None), waited(GUESS, EARLY)
    assert found.source == FROM_ESTIMATE
    assert (found.from_seconds, found.to_seconds) == (estimate.from_seconds, estimate.to_seconds)
    assert found.guess == (1.0, 4.0)
    assert "a guess says 1 to 4 s" in Words().say(wait_words(found))


def test_a_guess_after_the_estimate_counts_and_is_called_a_guess() -> None:
    estimate, found = waited(GUESS, None), waited(GUESS, LATE)
    assert (found.source, found.from_seconds, found.to_seconds) == (FROM_GUESS, 500.0, 900.0)
    assert found.ready == estimate.ready
    assert found.prompt_seconds == 500.0
    assert Words().say(wait_words(found)).startswith("guess; estimated ready between")


@pytest.mark.parametrize(
    ("guess", "window", "source"),
    [
        (("1 s", "15 s"), (8.0, 40.0), FROM_SHEET),
        (("8 s", "9 s"), (8.0, 40.0), FROM_SHEET),
        (("50 s", "70 s"), (50.0, 50.0), FROM_GUESS),
    ],
)
def test_a_guess_for_one_film_does_not_end_another_films_stated_window(
    guess: tuple[str, str], window: tuple[float, float], source: str
) -> None:
    """They come off together: the sheet's own wait wins, and a guess counts if it begins later."""
    stated = material(waits={Peel.WARM: ("8 s", "40 s")}, source=Sources(SHEET))
    guessed = material("other", waits={Peel.WARM: guess}, source=Sources(GUESS))
    back = Panel("back", (element("name", "red"), element("number", "red", key="other")))
    peels = dict.fromkeys(("name.1", "number.1"), Peel.WARM)
    plan = plan_of(
        settings(closing(*peels, peel=peels)), panels=(back,), materials=(stated, guessed)
    )
    found = plan.passes[0].wait
    assert found is not None
    assert (found.from_seconds, found.to_seconds, found.source) == (*window, source)


def test_without_a_model_only_the_guess_remains() -> None:
    found = waited(GUESS, EARLY, surface=Surface.PILE)
    assert (found.source, found.from_seconds, found.ready) == (FROM_GUESS, 1.0, None)
    assert Words().say(wait_words(found)) == "guess"
    nothing = waited(GUESS, None, surface=Surface.PILE)
    assert is_guessed(nothing)
    assert "guess" in Words().say(wait_words(nothing))


def test_the_source_of_the_wait_counts_and_not_that_of_the_material() -> None:
    film = material(
        waits={Peel.WARM: EARLY}, source=Sources(SHEET, {"peel_wait": Source(SourceKind.GUESS)})
    )
    found = single_plan(Peel.WARM, materials=(film,)).passes[0].wait
    assert found is not None
    assert found.source == FROM_ESTIMATE


@pytest.mark.parametrize("source", [SHEET, TRIAL, WORK, GUESS])
@pytest.mark.parametrize("wait", [EARLY, LATE])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_paper_calls_only_a_suppliers_sheet_a_sheet(
    source: Source, wait: tuple[str, str], language: str
) -> None:
    film = material(waits={Peel.COLD: wait}, source=Sources(source))
    plan = single_plan(Peel.COLD, materials=(film,))
    each = plan.passes[0]
    (peel,) = (step for step in each.steps if step.peel is not None)
    sentence = Words(language).say(phrase(plan, each, peel))
    names = {"en": ("supplier's sheet", "guess"), "es": ("ficha", "suposición")}[language]
    assert [name in sentence for name in names] == [source is SHEET, source is GUESS]


# How a guess and an estimate combine, with made-up figures.
ESTIMATE = PeelWait(
    Peel.WARM, 40.0, 80.0, FROM_ESTIMATE, Range(30.0, 36.0, 42.0), Range(70.0, 80.0, 90.0), 40.0
)


def test_a_guess_that_ends_first_only_sets_the_last_call() -> None:
    found = with_guess(ESTIMATE, (10.0, 60.0))
    assert (found.from_seconds, found.to_seconds) == (40.0, 80.0)
    assert last_call(found) == (60.0, True)
    by_guess = [call_rests_on_guess(found, seconds) for seconds in (20.0, 50.0, 65.0, 81.0)]
    assert by_guess == [False, False, True, False]


def test_a_guess_that_ends_before_the_start_is_ignored() -> None:
    assert last_call(with_guess(ESTIMATE, (10.0, 25.0))) == (70.0, False)


def test_a_later_guess_that_overlaps_the_estimate_ends_with_it() -> None:
    found = with_guess(ESTIMATE, (50.0, 300.0))
    assert (found.from_seconds, found.to_seconds, found.source) == (50.0, 80.0, FROM_GUESS)
    assert last_call(found) == (70.0, False)
    by_guess = [call_rests_on_guess(found, seconds) for seconds in (20.0, 60.0, 75.0, 81.0)]
    assert by_guess == [True, True, False, False]


def test_a_guess_after_the_estimates_end_keeps_its_own_end() -> None:
    found = with_guess(ESTIMATE, (100.0, 300.0))
    assert (found.from_seconds, found.to_seconds) == (100.0, 300.0)
    assert last_call(found) == (300.0, True)
    assert call_rests_on_guess(found, 301.0)


def test_a_guess_never_hurries_a_cold_peel() -> None:
    cold = replace(ESTIMATE, peel=Peel.COLD, late=None, to_seconds=900.0)
    assert last_call(with_guess(cold, (10.0, 60.0))) == (inf, False)
