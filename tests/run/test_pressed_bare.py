"""Another final after carriers came off: bare pieces have a sheet rule of their own."""

from __future__ import annotations

from dataclasses import replace

from view_cases import COLD, HOT, WORDS, Station, label, lines, move, one_layer, slabs

from kiosk.plan.model import PeelPlace, Phase, Plan
from kiosk.run.decide.decide import decide
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state import commands as c
from kiosk.run.state.event import Refusal
from kiosk.run.state.model import TicketStage

FIRST = "1/1/1"
ALLOW = c.AllowRepress(FIRST, "SV", "edge lifts")


def known(plan: Plan, *sheets: bool | None) -> Plan:
    """The plan; the first of `sheets` is for its final as planned, the others after its peels."""
    (one,) = plan.passes
    final = next(n for n, step in enumerate(one.steps) if step.phase is Phase.FINAL)
    cover = replace(one.steps[0], phase=Phase.COVER) if sheets[0] else None
    steps = (
        *one.steps[:final],
        *([cover] if cover else []),
        replace(one.steps[final], sheet=bool(sheets[0])),
        *one.steps[final + 1 :],
    )
    return replace(plan, passes=(replace(one, steps=steps),), sheets_again=(sheets,))


def in_rework(plan: Plan) -> Station:
    """The first garment was pressed and peeled, and an edge lifts."""
    station = Station(plan)
    station.answer()
    station.press()
    station.wait(2.0)
    station.do(c.Inspect(FIRST, TicketStage.REWORK, "lifted_edge", "short_press"))
    return station


def taken_up(plan: Plan) -> Station:
    """A supervisor allowed another final, and the number was read."""
    station = in_rework(plan)
    station.do(ALLOW)
    station.answer()
    if station.see().ticket != FIRST:  # the next one was already in the hands
        station.do(c.PutAside("the re-press first"))
        station.answer()
    return station


def sheet(shown: View) -> str:
    return "" if shown.sheet_word is None else WORDS.say(shown.sheet_word)


def test_a_bare_film_that_asks_for_the_sheet_gets_it() -> None:
    station = taken_up(known(one_layer(HOT), False, True))
    shown = station.see()
    assert (shown.number, move(shown), sheet(shown)) == (
        "31", "Load the garment, sheet on", "SHEET ON",
    )  # fmt: skip
    assert lines(shown) == [
        "back up, collar toward you",
        "pressed again: the supervisor allowed it",
        "the sheet over all of it, without a crease",
    ]
    assert label(shown) == "Loaded, sheet on: close 15 s"
    assert slabs(shown) == ["sheet goes on", "RED name", "NAVY number", "cloth", "pad"]
    shown = station.tap()
    assert (shown.kind, sheet(shown), shown.peel) == (ScreenKind.HEAT, "SHEET ON", None)
    assert slabs(shown) == ["platen", "sheet", "RED name", "NAVY number", "cloth", "pad"]
    shown = station.wait(17.0)
    assert move(shown) == "Sheet off, look it over"
    assert WORDS.say(shown.open_lines[0]) == "OPEN"


def test_a_bare_film_that_forbids_the_sheet_is_pressed_without_it() -> None:
    shown = taken_up(known(one_layer(HOT), True, False)).see()
    assert (move(shown), sheet(shown)) == ("Load the garment", "NO SHEET")
    assert lines(shown)[-1] == "its carriers are off: no sheet this time"
    assert label(shown) == "Loaded and flat: close 15 s"


def test_a_bare_film_that_bears_no_more_heat_cannot_be_pressed_again() -> None:
    station = in_rework(known(one_layer(HOT), False, None))
    answer = decide(station.state, ALLOW, station.now)
    assert isinstance(answer, Refusal)
    assert answer.reason.id == "refuse.repress.bare"
    assert "31" in WORDS.say(answer.reason)


def test_a_final_pressed_short_keeps_its_carriers_and_is_as_planned() -> None:
    station = Station(known(one_layer(HOT), False, None))
    station.answer()
    station.tap()
    station.wait(5.0)
    station.do(c.SayOpened())
    station.do(c.SayClosed(closed=True))
    station.do(c.Inspect(FIRST, TicketStage.REWORK, "lifted_edge", "short_press"))
    station.do(ALLOW)
    station.answer()
    station.do(c.PutAside("the re-press first"))
    shown = station.answer()
    assert (move(shown), sheet(shown)) == ("Load the garment", "NO SHEET")
    assert "carrier" in slabs(shown)


def test_hot_peeled_pieces_are_bare_while_the_rest_keep_their_carriers() -> None:
    plan = known(one_layer(HOT, COLD), False, True, None)
    plan = replace(plan, passes=(replace(plan.passes[0], place=PeelPlace.RACK),))
    station = Station(plan)
    station.answer()
    station.press()
    station.tap()  # the second one: the first is peeled hot and lies on the rack
    station.do(c.Inspect(FIRST, TicketStage.REWORK, "lifted_edge", "short_press"))
    station.do(ALLOW)
    station.wait(20.0)
    shown = station.answer()
    assert (shown.number, sheet(shown)) == ("31", "SHEET ON")
    assert slabs(shown)[1:4] == ["RED name", "carrier", "NAVY number"]
    shown = station.tap()
    assert shown.peel is COLD
    shown = station.wait(17.0)
    assert [chip.peel for chip in shown.chips if chip.ticket == FIRST] == [COLD]
    job = station.state.job
    assert job is not None
    assert job.plan.passes[0].steps[job.tickets[FIRST].step].peel is COLD


def test_an_old_plan_knows_only_its_own_final() -> None:
    plan = replace(known(one_layer(HOT), False, True), sheets_again=())
    assert sheet(taken_up(plan).see()) == "NO SHEET"
