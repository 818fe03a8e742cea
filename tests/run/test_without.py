"""A garment skips the steps that press nothing on it: no heat with nothing under it.

That such heat is waste, and that cloth is pre-pressed before its first print: common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from run_samples import COLD, COVER, HOT, INSPECT, LOAD, Bench, hot, on_shift, plan_of, stack
from test_left_out import NAMELESS, NOTHING, NUMBERLESS, WHOLE, begun, garments, press, press_all

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Piece, Plan, Step
from kiosk.run.apply.fold import apply
from kiosk.run.facts.tickets import outcomes
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state.events import Closed, Finished, JobStarted
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.words import Words

WORDS = Words("en")
PIECES = (
    Piece("number.1", "number", 1, 2, "film", "black"),
    Piece("number.2", "number", 2, 2, "film", "white"),
    Piece("name.1", "name", 1, 1, "film", "black"),
)
BOTH = ("number.1", "number.2", "name.1")


def layered(wait: PeelWait = HOT, place: PeelPlace = PeelPlace.PRESS) -> Pass:
    """Return a number of two layers, each tacked, and a one-layer name laid after them.

    Load, pre-press, lay, tack, carrier, lay on top, tack, carrier (0..7), lay the name (8), sheet,
    final (10), peel the name (11), inspect.
    """
    steps = (
        *stack().steps[:8],
        Step(Phase.LAY, ("name.1",)),
        COVER,
        hot(Phase.FINAL, 15, *BOTH),
        Step(Phase.PEEL, ("name.1",), peel=wait.peel),
        INSPECT,
    )
    return Pass("back", 0, steps, place, wait, ("name.1",))


def dried() -> Pass:
    """Return a name that comes first on the back, after the pre-press of its cloth."""
    steps = (
        LOAD,
        hot(Phase.PRE_PRESS, 5),
        Step(Phase.LAY, ("name.1",)),
        hot(Phase.FINAL, 15, "name.1"),
        Step(Phase.PEEL, ("name.1",), peel=Peel.COLD),
        INSPECT,
    )
    return Pass("back", 0, steps, PeelPlace.RACK, COLD, ("name.1",))


def later(group: int = 1) -> Pass:
    """Return a number that follows it on the same panel."""
    steps = (
        LOAD,
        Step(Phase.LAY, ("number.1",)),
        hot(Phase.FINAL, 15, "number.1"),
        Step(Phase.PEEL, ("number.1",), peel=Peel.HOT),
        INSPECT,
    )
    return Pass("back", group, steps, PeelPlace.PRESS, HOT, ("number.1",))


def layers(wait: PeelWait = HOT, place: PeelPlace = PeelPlace.PRESS) -> Plan:
    return plan_of(layered(wait, place), pieces=PIECES)


IN_LOTS = plan_of(dried(), later(), pieces=PIECES)
AT_ONCE = plan_of(dried(), later(), pieces=PIECES, runs=((0, 1),))


def closed(bench: Bench, ticket: str) -> list[Phase]:
    """The phases of all closings on a ticket."""
    steps = bench.job.plan.passes[bench.job.tickets[ticket].passage].steps
    found = (event for event in bench.events if isinstance(event, Closed))
    return [steps[event.step].phase for event in found if event.ticket == ticket]


def signed(plan: Plan, confirm: ConfirmMode, *lacks: tuple[str, ...]) -> Bench:
    bench = on_shift(confirm)
    bench.do(c.StartJob(plan.job, plan, "hash", garments(*lacks)))
    return bench.answer()


@pytest.mark.parametrize("confirm", ConfirmMode)
def test_a_garment_without_a_number_skips_its_tacks(confirm: ConfirmMode) -> None:
    bench = signed(layers(), confirm, NUMBERLESS, WHOLE)
    press_all(bench)
    tack = [Phase.TACK, Phase.TACK]
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.FINAL]
    assert closed(bench, "2/1/1") == [Phase.PRE_PRESS, *tack, Phase.FINAL]
    assert outcomes(bench.job) == (TicketStage.GOOD, TicketStage.GOOD)


def test_an_operator_taps_one_time_less_per_tack() -> None:
    bench = begun(layers(), NUMBERLESS)
    assert bench.finish() == 3  # close, close, good


@pytest.mark.parametrize("confirm", ConfirmMode)
def test_no_screen_asks_to_lay_or_free_missing_pieces(confirm: ConfirmMode) -> None:
    bench, texts = signed(layers(), confirm, NUMBERLESS), []
    while not bench.job.done:
        shown = view(bench.state, bench.now)
        lines = [WORDS.say(line) for line in (shown.move, *shown.lines, shown.bar.label)]
        texts += lines
        assert Phase.TACK not in {mark.phase for mark in shown.ribbon}
        bench.tap()
        if bench.state.heat is not None:
            label = WORDS.say(view(bench.state, bench.now).bar.label)
            texts.append(label)
            bench.ring()
    assert "#1 has no number" in texts
    assert any(line.startswith("Then: lay") for line in texts)  # the name, after the pre-press
    whole = " ".join(texts).lower()
    assert "on top" not in whole
    assert "take the carriers" not in whole
    assert "nothing to lay" not in whole


@pytest.mark.parametrize("confirm", ConfirmMode)
@pytest.mark.parametrize("lacks", [NAMELESS, NUMBERLESS, NOTHING])
@pytest.mark.parametrize("plan", [IN_LOTS, layers()], ids=["dried", "layers"])
def test_every_screen_can_be_drawn_without_missing_pieces(
    plan: Plan, lacks: tuple[str, ...], confirm: ConfirmMode
) -> None:
    """Regression: inspecting a garment that has nothing at all crashed the screen."""
    bench, nameless = signed(plan, confirm, lacks), frozenset({"1"} if "name" in lacks else ())
    while not bench.job.done:
        shown = view(bench.state, bench.now, "", nameless)
        assert {piece.element for piece in shown.pieces}.isdisjoint(lacks)
        go_on(bench)


def test_a_garment_with_nothing_laid_is_inspected_for_its_cloth() -> None:
    bench = dry(begun(IN_LOTS, NAMELESS))
    shown = view(bench.state, bench.now, "", frozenset({"1"}))
    assert [WORDS.say(line) for line in shown.lines] == [
        "12 has no name",
        "nothing is laid: dry, flat, no marks",
    ]
    assert not shown.peel_line


def test_a_shared_step_is_skipped_only_if_none_of_its_pieces_exist() -> None:
    """The name has one layer, the number two: without a number one tack is left."""
    steps = list(layered().steps)
    steps[2] = Step(Phase.LAY, ("number.1", "name.1"))
    steps[3] = hot(Phase.TACK, 2, "number.1", "name.1")
    bench = begun(plan_of(replace(layered(), steps=tuple(steps)), pieces=PIECES), NUMBERLESS)
    press(bench)
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.TACK, Phase.FINAL]


def test_a_garment_with_nothing_to_peel_is_neither_racked_nor_peeled() -> None:
    """Only its name has a carrier at the final."""
    bench = begun(layers(COLD, PeelPlace.RACK), NAMELESS, WHOLE)
    for _ in range(4):
        bench.tap()
        bench.ring()
    assert (bench.job.rack, bench.slot.id, bench.verb) == ((), "1/1/1", "finish 12")
    (ended, *_) = bench.tap()
    assert isinstance(ended, Finished)
    assert ended.early_seconds is None
    bench.answer()
    for _ in range(4):
        bench.tap()
        bench.ring()
    assert bench.job.rack == ("2/1/1",)


def test_a_replacement_skips_the_same_steps_but_is_pre_pressed() -> None:
    bench = begun(layers(), NUMBERLESS, WHOLE)
    bench.do(c.Skip("dry"))
    bench.tap()
    bench.ring()
    bench.scrap("1/1/1")
    press_all(bench)
    assert closed(bench, "1/1/1") == [Phase.FINAL]
    assert closed(bench, "1/1/2") == [Phase.PRE_PRESS, Phase.FINAL]


def test_a_garment_put_aside_before_its_first_heat_is_loaded_again() -> None:
    plan = layers()
    steps = (plan.passes[0].steps[0], *plan.passes[0].steps[2:])  # cloth without a pre-press
    plan = replace(plan, passes=(replace(plan.passes[0], steps=steps),))
    bench = signed(plan, ConfirmMode.EACH, NUMBERLESS, WHOLE)
    for _ in range(2):  # loaded; its name laid
        bench.tap()
    assert bench.slot.step == 8
    bench.do(c.PutAside("later"))
    assert bench.job.tickets["1/1/1"].step == 0


def test_jobs_begun_by_an_older_program_go_on_unchanged() -> None:
    plan = layers()
    bench = on_shift()
    began = JobStarted(bench.now, "ferry", plan, "hash", garments(NUMBERLESS))
    bench.events.append(began)
    bench.state = apply(bench.state, began)
    bench.tick()
    press(bench, "1/1/1")
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.TACK, Phase.TACK, Phase.FINAL]


# -- a name that comes first, after the pre-press ------------------------------


@pytest.mark.parametrize("plan", [IN_LOTS, AT_ONCE], ids=["in lots", "at once"])
@pytest.mark.parametrize("confirm", ConfirmMode)
def test_a_pass_before_a_later_number_only_pre_presses_the_cloth(
    plan: Plan, confirm: ConfirmMode
) -> None:
    bench = signed(plan, confirm, NAMELESS)
    press_all(bench)
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS]
    assert closed(bench, "1/2/1") == [Phase.FINAL]
    assert bench.job.done
    assert outcomes(bench.job) == (TicketStage.GOOD,)
    peels = [event.early_seconds for event in bench.events if isinstance(event, Finished)]
    assert peels == [None, None]


def test_a_garment_that_lacks_everything_is_inspected_without_a_final() -> None:
    bench = begun(IN_LOTS, NOTHING)
    assert press_all(bench) == ["1/1/1"]
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS]
    assert outcomes(bench.job) == (TicketStage.GOOD,)


def test_after_a_stop_in_the_pre_press_it_can_be_good_without_a_final() -> None:
    bench = begun(IN_LOTS, NAMELESS, WHOLE)
    bench.tap()
    bench.reboot()
    bench.tap()
    bench.do(c.PutAside("later"))
    assert bench.job.tickets["1/1/1"].stage is TicketStage.UNKNOWN
    bench.do(c.RuleOnTicket("1/1/1", TicketStage.GOOD, "SV", "dry and flat"))
    rest(bench)
    assert outcomes(bench.job)[0] is TicketStage.GOOD


def dry(bench: Bench) -> Bench:
    """Pre-press the current garment."""
    bench.tap()
    bench.ring()
    return bench


def test_a_name_added_before_inspection_stops_it_and_is_pressed() -> None:
    bench = dry(begun(IN_LOTS, NAMELESS, WHOLE))
    assert bench.names(c.RowChanged("1", "new", WHOLE))[:2] == ("Stopped", "Stopped")
    assert bench.job.aside == ("1/1/1", "1/2/1")
    for name in bench.job.aside:
        bench.do(c.RuleOnTicket(name, TicketStage.WAITING, "SV", "the name is known now"))
    rest(bench)
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.FINAL]
    assert closed(bench, "1/2/1") == [Phase.FINAL]


def test_a_name_added_after_inspection_is_pressed_too() -> None:
    """Otherwise nobody would have called the garment for it: its pass was done."""
    bench = dry(begun(IN_LOTS, NAMELESS, WHOLE))
    bench.tap()
    assert bench.job.tickets["1/1/1"].stage is TicketStage.GOOD
    assert bench.do(c.RowChanged("1", "still none", NAMELESS))
    bench.do(c.RowChanged("1", "new", WHOLE))
    assert set(bench.job.aside) == {"1/1/1", "1/2/1"}
    for name in bench.job.aside:
        bench.do(c.RuleOnTicket(name, TicketStage.WAITING, "SV", "the name is known now"))
    rest(bench)
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.FINAL]
    assert bench.job.done


def test_a_number_added_later_is_tacked() -> None:
    bench = begun(layers(), NUMBERLESS, WHOLE)
    bench.do(c.RowChanged("1", "new", WHOLE))
    bench.do(c.RuleOnTicket("1/1/1", TicketStage.WAITING, "SV", "the number is known now"))
    rest(bench)
    assert closed(bench, "1/1/1") == [Phase.PRE_PRESS, Phase.TACK, Phase.TACK, Phase.FINAL]


def rest(bench: Bench) -> None:
    """Press everything left, including at the rack."""
    while not bench.job.done:
        go_on(bench)


def go_on(bench: Bench) -> None:
    bench.tick(70.0)
    if bench.job.slot:
        bench.answer()
    bench.tap()
    if bench.state.heat is not None:
        bench.ring()
