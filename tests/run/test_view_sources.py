"""Screens that depend on a source: the card on the rack, the wait, the window, the limit."""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import COLD, HOT, LINES, WORDS, Station, lines, one_layer

from kiosk.catalog.model.house import Range
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.model.source import GUESS, Source, SourceKind, Sources
from kiosk.plan.heat.waits import FROM_ESTIMATE, FROM_PRACTICE, SOURCE_IDS, with_guess
from kiosk.plan.model import PeelWait, Plan
from kiosk.plan.sources import PlanSources
from kiosk.run.facts.checks import article_of
from kiosk.run.show.parts import View
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, Estimate
from kiosk.words import Words

SHEET = Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4", date="2026-03-01")
TRIAL = Source(SourceKind.SHOP_TRIAL, date="2026-04-02", initials="MV")
WORK = Source(SourceKind.PUBLISHED, work="Handbook of films")
SPANISH = Words("es")


def written(source: Source, start: float, end: float, peel: Peel = COLD) -> PeelWait:
    """A wait of 60 to 240 s or the like, by a source that may be a guess."""
    guess = (start, end) if source.is_guess else None
    return PeelWait(peel, start, end, SOURCE_IDS[source.kind], guess=guess, origin=source)


def estimate(ready: tuple[float, float, float], peel: Peel = COLD) -> PeelWait:
    return PeelWait(peel, ready[2], 900.0, FROM_ESTIMATE, Range(*ready), None, ready[2])


def of(wait: PeelWait) -> Plan:
    plan = one_layer(wait.peel)
    return replace(plan, passes=(replace(plan.passes[0], wait=wait),))


def pressed(wait: PeelWait) -> Station:
    """One garment, alone on the rack as soon as it was pressed."""
    station = Station(of(wait), lines=LINES[:1])
    station.answer()
    station.press()
    return station


def chip(shown: View, words: Words = WORDS) -> str:
    return words.say(shown.chips[0].line)


@pytest.mark.parametrize(
    ("wait", "line", "card"),
    [
        (written(SHEET, 60, 240), "in 60 s, supplier's sheet", "in 60 s"),
        (written(TRIAL, 60, 240), "in 60 s, shop trial of 2026-04-02", "in 60 s"),
        (written(WORK, 60, 240), "in 60 s, published in “Handbook of films”", "in 60 s"),
        (written(GUESS, 60, 240), "guess: in 60 s", "guess: in 60 s"),
        (PeelWait(COLD, 60, 240, FROM_PRACTICE), "guess: in 60 s", "guess: in 60 s"),
        (estimate((30, 40, 60)), "if lifted 25 to 60 s, estimate", "if lifted 25 to 60 s"),
        (
            with_guess(estimate((30, 40, 60)), (10, 25)),
            "if lifted 25 to 60 s, estimate; guess 10–25 s",
            "if lifted 25 to 60 s",
        ),
        (
            with_guess(estimate((30, 40, 60)), (80, 400)),
            "guess: in 80 s, estimate 30–60 s",
            "guess: in 80 s",
        ),
    ],
)
def test_the_wait_and_its_card_name_their_basis(wait: PeelWait, line: str, card: str) -> None:
    shown = pressed(wait).see()
    assert line in lines(shown)
    assert chip(shown) == card


@pytest.mark.parametrize("source", [SHEET, TRIAL, WORK, GUESS])
def test_only_a_suppliers_sheet_is_called_a_sheet_on_the_screen(source: Source) -> None:
    shown = pressed(written(source, 60, 240)).see()
    texts = [words.say(line) for words in (WORDS, SPANISH) for line in shown.lines]
    assert any("supplier's sheet" in each for each in texts) == (source is SHEET)
    assert any("ficha" in each for each in texts) == (source is SHEET)
    assert chip(shown).startswith("guess") == (source is GUESS)
    assert chip(shown, SPANISH).startswith("suposición") == (source is GUESS)


@pytest.mark.parametrize(
    ("after", "card"), [(70, "guess: peel now"), (200, "guess: now, 35 s left"),
                        (237, "guess: nearly late"), (300, "guess: late, peel now")]
)  # fmt: skip
def test_a_guess_says_so_in_each_zone(after: float, card: str) -> None:
    station = pressed(written(GUESS, 60, 240))
    assert chip(station.wait(after)) == card


def live(station: Station, ready: tuple[float, float, float]) -> View:
    """The garment's own estimate arrives, computed from its heat."""
    job = station.state.job
    assert job is not None
    ticket = next(iter(job.tickets.values()))
    assert ticket.opened is not None
    own = (estimate(ready),)
    found = Estimate(ticket.opened, own, own, ((0.0, 90.0),), ((0.0, 90.0),), 23.0, 3.0)
    station.do(s.GiveEstimate(ticket.id, found, None))
    station.do(s.SayPlace(ticket.id, CoolingPlace.LIFTED))
    return station.see()


def test_the_card_counts_by_an_estimate_later_than_the_guess() -> None:
    shown = live(pressed(written(GUESS, 20, 50)), (90, 100, 120))
    assert chip(shown) == "85 to 120 s"
    assert "85 to 120 s, estimate; guess 20–50 s" in lines(shown)


def test_an_estimate_that_is_earlier_leaves_the_guess_on_the_card() -> None:
    shown = live(pressed(written(GUESS, 60, 240)), (20, 30, 40))
    assert chip(shown) == "guess: in 60 s"
    assert "guess: in 60 s, estimate 20–40 s" in lines(shown)


@pytest.mark.parametrize("source", [SHEET, TRIAL, WORK])
def test_no_estimate_moves_a_rule(source: Source) -> None:
    shown = live(pressed(written(source, 60, 240)), (300, 400, 500))
    assert chip(shown) == "in 60 s"


@pytest.mark.parametrize(
    ("source", "line"), [(SHEET, "hot window: 5 s left"), (GUESS, "guess: 5 s left")]
)
def test_a_hot_window_says_when_it_is_a_guess(source: Source, line: str) -> None:
    shown = pressed(written(source, 0, 5, HOT)).see()
    assert line in lines(shown)


@pytest.mark.parametrize(
    ("guess", "seconds", "line"),
    [
        (None, 0, "hot window: 9 to 21 s left"),
        ((0, 6), 0, "guess: 5 to 21 s left"),
        ((5, 15), 0, "hot window: 9 to 21 s left"),  # the estimate ends it before the guess does
        ((20, 60), 0, "guess: 60 s left"),
        ((20, 60), 14, "guess: 46 s left"),
        ((20, 60), 60, "guess: too late for hot"),
        ((20, 20), 0, "guess: 19 to 21 s left"),
        ((12, 18), 0, "guess: 13 to 21 s left"),
        ((12, 18), 14, "guess: too late for hot"),
    ],
)
def test_a_hot_window_is_not_over_before_its_guess_begins(
    guess: tuple[float, float] | None, seconds: float, line: str
) -> None:
    """The estimate ends between 10 and 21 s, at 14 s by its middle."""
    own = PeelWait(
        HOT, 0.0, 14.0, FROM_ESTIMATE, Range(0.0, 0.0, 0.0), Range(10.0, 14.0, 21.0), 0.0
    )
    station = pressed(with_guess(own, guess))
    assert line in lines(station.wait(seconds) if seconds else station.see())


@pytest.mark.parametrize(
    ("source", "end"), [(SHEET, ""), (TRIAL, ""), (WORK, ""), (GUESS, ", a guess")]
)
def test_an_over_run_shows_when_its_limit_is_a_guess(source: Source, end: str) -> None:
    own = Sources(source)
    sources = PlanSources({"layer-film": own}, own, own)
    station = Station(replace(one_layer(HOT), sources=sources, opens_itself=False,
                              confirm_opening=True))  # fmt: skip
    station.answer()
    shown = station.press()
    shown = station.wait(3)
    assert f"limit for film and cloth: 15 s{end}" in lines(shown)


@pytest.mark.parametrize("source", [SHEET, TRIAL, WORK, GUESS])
def test_setting_the_press_names_what_is_a_guess(source: Source) -> None:
    """The cloth and the press are looked up here, so only the film is left."""
    sources = PlanSources({"layer-film": Sources(source)}, Sources(SHEET), Sources(SHEET))
    shown = Station(replace(one_layer(COLD), sources=sources)).see()
    texts = [WORDS.say(each) for each in shown.warnings]
    assert ("Guesses, not tried: layer-film" in texts) == (source is GUESS)


def test_a_setting_is_not_called_untried_after_its_trial() -> None:
    station = Station(replace(one_layer(COLD), sources=PlanSources({}, Sources(), Sources(SHEET))))
    job = station.state.job
    assert job is not None
    article = article_of(job.plan, job.plan.passes[0])
    station.state = replace(station.state, job=replace(job, tried=(article,)))
    texts = [WORDS.say(each) for each in station.see().warnings]
    assert any(each.startswith("Guesses when this job began: ") for each in texts)
    assert not any("not tried" in each for each in texts)


def test_a_key_that_is_a_guess_is_named_with_its_owner() -> None:
    film = Sources(SHEET, {"peel_wait": GUESS, "tack": GUESS})
    sources = PlanSources({"layer-film": film}, Sources(SHEET), Sources(SHEET))
    shown = Station(replace(one_layer(COLD), sources=sources)).see()
    texts = [WORDS.say(each) for each in shown.warnings]
    assert texts == ["Guesses, not tried: layer-film (wait before the peel, tack)"]


def test_a_guess_is_named_by_its_title() -> None:
    """By its title, not by the key in the shop's file; titles may contain commas."""
    sources = PlanSources({"layer-film": Sources(GUESS)}, Sources(GUESS), Sources(SHEET),
                          {"layer-film": "Matt film, takes another"}, "Plain knit")  # fmt: skip
    shown = Station(replace(one_layer(COLD), sources=sources)).see()
    texts = [WORDS.say(each) for each in shown.warnings]
    assert texts == ["Guesses, not tried: Matt film, takes another; Plain knit"]


def test_an_estimated_window_is_nearly_late_from_where_it_may_be_over() -> None:
    """It may be over from 80 s on, and is at 100: 79 s after opening it is not shown yet."""
    ready, late = Range(30.0, 40.0, 60.0), Range(80.0, 90.0, 100.0)
    station = pressed(PeelWait(Peel.WARM, 60.0, 90.0, FROM_ESTIMATE, ready, late, 60.0))
    opened = station.clock
    texts = {}
    for seconds in (70, 78, 82, 88):
        station.clock = opened + seconds
        texts[seconds] = "nearly late" in chip(station.see())
    assert texts == {70: False, 78: False, 82: True, 88: True}
