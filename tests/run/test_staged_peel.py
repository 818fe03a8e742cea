"""Carriers peeled one after the other: hot at the press, warm in hand, cold on the rack."""

from __future__ import annotations

from dataclasses import replace

import pytest
from every_kind import CHECKED
from run_samples import COLD, HOT, WARM, Bench, bench_with, on_shift, one_piece, staged, team
from run_samples import plan_of as bare_plan

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Piece, Plan, Step
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events import Confirmed, Finished
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.words import Words

WORDS = Words("en")
WAITS = {Peel.HOT: HOT, Peel.WARM: WARM, Peel.COLD: COLD}
NAMES = {Peel.HOT: "badge.1", Peel.WARM: "name.1", Peel.COLD: "number.1"}
IN_HAND = {Peel.HOT: PeelPlace.PRESS, Peel.WARM: PeelPlace.HAND, Peel.COLD: PeelPlace.RACK}
RACKED = IN_HAND | {Peel.WARM: PeelPlace.RACK}


def pass_of(*peels: Peel, places: dict[Peel, PeelPlace] = IN_HAND) -> Pass:
    """The pass of `run_samples` with these peels after its final (index 3)."""
    laying = Step(Phase.LAY, tuple(NAMES[peel] for peel in peels))
    steps = (staged().steps[0], laying, *staged().steps[2:])
    own = tuple(Step(Phase.PEEL, (NAMES[peel],), peel=peel) for peel in peels)
    waits: tuple[PeelWait, ...] = tuple(WAITS[peel] for peel in peels)
    return replace(
        staged(),
        steps=(*steps[:4], *own, steps[-1]),
        stages=waits,
        wait=waits[-1],
        place=places[peels[-1]],
        places=tuple(places[peel] for peel in peels),
        carriers=tuple(NAMES[peel] for peel in peels),
    )


ALL = pass_of(Peel.HOT, Peel.WARM, Peel.COLD)
WARM_COLD = pass_of(Peel.WARM, Peel.COLD)


def plan_of(*passes: Pass, runs: tuple[tuple[int, ...], ...] = ()) -> Plan:
    pieces = tuple(Piece(n, n[:-2], 1, 1, "film", "red", "back") for n in NAMES.values())
    return bare_plan(*passes, runs=runs, pieces=pieces)


def pressed(bench: Bench) -> Bench:
    bench.answer()
    bench.tap()
    bench.ring()
    return bench


def texts(bench: Bench, focus: str = "") -> list[str]:
    shown = view(bench.state, bench.now, focus)
    peel = "" if shown.peel_line is None else WORDS.say(shown.peel_line)
    return [WORDS.say(shown.move), WORDS.say(shown.bar.label), peel]


def chips(bench: Bench) -> list[tuple[str, str]]:
    shown = view(bench.state, bench.now).chips
    return [(chip.number, WORDS.say(chip.line)) for chip in shown]


def test_the_next_load_confirms_the_hot_and_the_warm_peel_and_leaves_the_cold_one() -> None:
    bench = pressed(bench_with(plan_of(ALL)))
    move, bar, line = texts(bench)
    assert move == "Peel 12 hot, warm, load 13"
    assert bar == "12 peeled, 13 laid: close 15 s"
    assert line == "12 first: hot at once, then warm"
    assert chips(bench) == [("12", "in 10 s, by 20 s")]  # the warm one: 8 to 20 s
    bench.wait(8.0)
    assert chips(bench) == [("12", "peel now: 10 s left")]
    bench.wait(4.0)
    bench.tap()
    ticket = bench.ticket("12")
    assert (ticket.step, ticket.stage) == (6, TicketStage.COOLING)
    assert chips(bench)[0][1] == "in 50 s"  # 60 to 600 s, 13 s of them over


def test_a_close_before_the_warm_peel_can_be_done_is_asked_about_once() -> None:
    bench = pressed(bench_with(plan_of(WARM_COLD)))
    bench.wait(7.5)
    assert [type(e).__name__ for e in bench.do(bench.forward())] == ["AskedQuick"]
    bench.wait(1.0)
    assert type(bench.do(bench.forward())[0]).__name__ == "Closed"


def test_with_nothing_left_to_load_the_warm_peel_is_a_tap_of_its_own() -> None:
    bench = pressed(bench_with(plan_of(ALL), ("12",)))
    assert bench.verb == "-"
    assert texts(bench)[0] == "Peel hot, then warm"
    bench.wait(8.0)
    assert texts(bench)[1] == "Number 12: peeled warm"
    bench.wait(0.6)
    (event,) = bench.do(bench.forward())
    assert event == Confirmed(bench.now, "1/1/1", 4, 5)
    assert texts(bench)[:2] == ["Wait, peel cold", "Then: number 12, cold peel"]
    bench.wait(60.0)
    assert texts(bench)[1] == "Number 12: peeled, good"
    done = bench.tap()
    assert isinstance(done[0], Finished)
    assert done[0].early_seconds is None
    assert bench.job.tickets["1/1/1"].stage is TicketStage.GOOD


HOT_COLD = pass_of(Peel.HOT, Peel.COLD)


def last_of_two(wait: float = 0.0) -> Bench:
    """The last garment has just been pressed, `wait` seconds after the one before it."""
    bench = pressed(bench_with(plan_of(HOT_COLD), ("12", "13")))
    bench.wait(wait)
    return pressed(bench)


@pytest.mark.parametrize("wait", [0.0, 200.0], ids=["12 cools still", "12 is due"])
def test_the_last_garment_is_peeled_hot_before_any_of_the_rack(wait: float) -> None:
    """Its film stays hot only for seconds (design.md 3: hot peel happens at the press)."""
    bench = last_of_two(wait)
    shown = view(bench.state, bench.now)
    assert (shown.number, WORDS.say(shown.move)) == ("13", "Peel it hot")
    assert WORDS.say(shown.bar.label) == "Number 13: peeled hot"
    bench.wait(3.0)
    (event,) = bench.do(bench.forward())
    assert event == Confirmed(bench.now, "2/1/1", 4, 4)
    assert bench.ticket("13").stage is TicketStage.COOLING
    assert view(bench.state, bench.now).number == "12"


def test_a_confirmed_last_hot_peel_is_not_late_while_the_garment_cools() -> None:
    bench = last_of_two()
    bench.wait(1.0)
    bench.do(bench.forward())
    bench.wait(30.0)  # HOT: for 10 s after the opening
    shown = view(bench.state, bench.now, "2/1/1")
    assert WORDS.say(shown.move) == "Wait, peel cold"
    assert not any("hot" in line.id for line in shown.lines)
    bench.do(c.Back())
    assert texts(bench)[1] == "Number 13: peeled hot"


def test_a_last_hot_peel_confirmed_minutes_late_keeps_the_late_mark() -> None:
    bench = last_of_two()
    bench.wait(900.0)
    (event,) = bench.do(bench.forward())
    assert isinstance(event, Confirmed)
    assert event.late_seconds == pytest.approx(890.0)
    assert "late" in bench.ticket("13").marks


def test_good_on_the_touched_last_garment_confirms_its_hot_peel_only() -> None:
    bench = last_of_two()
    shown = view(bench.state, bench.now, "2/1/1")
    assert shown.stage_peel is not None
    assert WORDS.say(shown.stage_peel) == "hot"
    (event,) = bench.do(c.Inspect("2/1/1", TicketStage.GOOD))
    assert isinstance(event, Confirmed)


def test_a_warm_peel_with_time_to_spare_waits_on_the_rack_while_the_next_is_pressed() -> None:
    bench = pressed(bench_with(plan_of(pass_of(Peel.WARM, Peel.COLD, places=RACKED))))
    assert texts(bench)[0].startswith("Rack 12, load")
    bench.tap()
    assert bench.ticket("12").step == 4
    bench.wait(9.0)
    assert bench.verb == "peeled 12"
    assert texts(bench)[1] == "Number 12: peeled warm"
    (event,) = bench.do(bench.forward())
    assert isinstance(event, Confirmed)
    assert event.last == 4
    assert bench.verb == "-"
    (chip,) = view(bench.state, bench.now).chips
    assert chip.peel is Peel.COLD


def test_a_touched_chip_confirms_one_peel_and_records_it_early() -> None:
    bench = pressed(bench_with(plan_of(WARM_COLD), ("12",)))
    bench.wait(3.0)
    shown = view(bench.state, bench.now, "1/1/1")
    assert shown.stage_peel is not None
    assert WORDS.say(shown.stage_peel) == "warm"
    (event,) = bench.do(c.Inspect("1/1/1", TicketStage.GOOD))
    assert isinstance(event, Confirmed)
    assert event.early_seconds == pytest.approx(5.0)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert view(bench.state, bench.now, "1/1/1").stage_peel is None


def test_a_separately_tapped_hot_peel_is_not_early_by_the_warm_peels_wait() -> None:
    bench = bench_with(plan_of(pass_of(Peel.HOT, Peel.WARM)), ("12",), confirm=ConfirmMode.EACH)
    while bench.state.heat is None:
        bench.tap()
    bench.ring()
    assert texts(bench)[0].startswith("Peel it hot")
    bench.wait(1.0)
    (hot,) = bench.do(bench.forward())
    assert isinstance(hot, Confirmed)
    assert (hot.last, hot.early_seconds) == (4, None)
    bench.wait(1.0)
    (warm,) = bench.do(bench.forward())  # the warm one is due 8 s after opening
    if not isinstance(warm, Confirmed):  # asked about once
        bench.wait(1.0)
        (warm,) = bench.do(bench.forward())
    assert isinstance(warm, Confirmed)
    assert warm.early_seconds is not None
    assert warm.early_seconds > 4.0


def test_a_peel_tapped_in_the_next_closing_may_have_been_done_before_it() -> None:
    bench = bench_with(plan_of(pass_of(Peel.WARM, Peel.COLD, places=RACKED)))
    pressed(bench)
    bench.wait(10.0)
    bench.tap()
    bench.wait(7.0)
    (event,) = bench.do(bench.forward())
    assert isinstance(event, Confirmed)
    assert event.before


def test_a_stage_can_be_taken_back() -> None:
    bench = pressed(bench_with(plan_of(WARM_COLD), ("12",)))
    bench.wait(9.0)
    bench.do(bench.forward())
    assert bench.ticket("12").step == 5
    bench.wait(1.0)
    bench.do(c.Back())
    assert bench.ticket("12").step == 4
    assert bench.job.rack == ("1/1/1",)


def test_a_trainee_waits_for_the_warm_peel_in_hand_and_then_racks_it() -> None:
    bench = bench_with(plan_of(ALL), ("12",), confirm=ConfirmMode.EACH)
    while bench.ticket("12").step < 4:
        bench.answer()
        if bench.state.heat is None:
            bench.tap()
        else:
            bench.ring()
    assert texts(bench)[0] == "Peel it hot"
    bench.tap()
    assert texts(bench)[:2] == ["Wait, peel warm", "Peeled: rack next"]
    bench.wait(8.0)
    assert texts(bench)[0] == "Peel it warm"
    (event,) = bench.tap()
    assert isinstance(event, Confirmed)
    assert bench.ticket("12").stage is TicketStage.COOLING
    assert texts(bench)[0] == "Wait, peel cold"


def test_the_garment_due_first_is_shown_when_nothing_is_left_to_load() -> None:
    bench = pressed(bench_with(plan_of(WARM_COLD), ("12", "13")))
    bench.wait(10.0)
    pressed(bench)  # 12's warm peel is confirmed: its cold one is due later than 13's warm one
    assert view(bench.state, bench.now).number == "13"


def test_a_check_that_lapses_waits_until_the_hot_peel_is_done() -> None:
    bench, rules = on_shift(), replace(CHECKED, verify_seconds=20.0)
    plan = plan_of(HOT_COLD)
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13"), rules=rules))
    bench.do(c.ReadSetting(300))
    good = s.VerifyPress((300,) * 5, (True,) * 4)
    bench.do(good)
    pressed(bench)
    bench.do(c.Tick())
    shown = view(bench.state, bench.now)
    assert shown.kind is ScreenKind.VERIFY
    assert shown.first is not None
    assert WORDS.say(shown.first).strip() == "Peel 12 hot, rack it."
    bench.do(good)
    bench.answer()
    assert view(bench.state, bench.now).first is None


def test_another_setting_waits_until_the_hot_peel_is_done() -> None:
    later = one_piece(degrees=320)
    plan = plan_of(HOT_COLD, replace(later, group=1), runs=((0,), (1,)))
    bench = pressed(bench_with(plan, ("12", "13")))
    bench.wait(70.0)
    bench.do(c.Inspect("1/1/1", TicketStage.GOOD))  # the next pass of 12 can begin
    pressed(bench)
    shown = view(bench.state, bench.now)
    assert shown.kind is ScreenKind.SETTING
    assert shown.ask is not None
    assert WORDS.say(shown.ask.title) == "Peel 13 hot, rack it. Set the press to 320 °F"


HOT_WARM, HOT_COLD = pass_of(Peel.HOT, Peel.WARM), pass_of(Peel.HOT, Peel.COLD)


def without(
    plan: Plan, lacks: tuple[str, ...], confirm: ConfirmMode = ConfirmMode.GROUPED
) -> Bench:
    """A bench at the opening of a garment whose roster line has no value for these elements."""
    bench = on_shift(confirm)
    (garment,) = team("12")
    bench.do(c.StartJob(plan.job, plan, "hash", (replace(garment, lacks=lacks),)))
    bench.answer()
    while bench.state.heat is None:
        bench.tap()
    bench.ring()
    return bench


@pytest.mark.parametrize("confirm", list(ConfirmMode))
@pytest.mark.parametrize(
    ("passage", "lacks"), [(HOT_WARM, ("name",)), (HOT_COLD, ("number",)), (ALL, ("number",))]
)
def test_pieces_missing_from_a_garment_are_neither_waited_for_nor_peeled(
    passage: Pass, lacks: tuple[str, ...], confirm: ConfirmMode
) -> None:
    """Without the name that peels warm, the other film decides (common practice)."""
    bench = without(plan_of(passage), lacks, confirm)
    last = Peel.WARM if passage is ALL else Peel.HOT
    words = []
    while not bench.job.done:
        shown = view(bench.state, bench.now)
        words += [WORDS.say(shown.move), *(WORDS.say(each) for each in shown.lines)]
        assert all(chip.peel is last for chip in shown.chips)
        if bench.bar.meaning is None:
            bench.tick(1.0)
        else:
            bench.tap()
    told = " ".join(words)
    assert "cold" not in told
    assert ("warm" in told) == (passage is ALL)
    assert bench.clock < 1200  # nobody waited for a rack
    ticket = bench.job.tickets["1/1/1"]
    assert (ticket.stage, ticket.peeled) == (TicketStage.GOOD, True)


def test_the_ribbon_ends_with_one_inspection() -> None:
    bench = without(plan_of(HOT_WARM), ("name",))
    phases = [mark.label.id for mark in view(bench.state, bench.now).ribbon]
    assert phases[-2:] == ["ribbon.peel", "ribbon.inspect"]


def test_a_garment_with_all_of_it_waits_as_before() -> None:
    bench = without(plan_of(HOT_WARM), ())
    assert {chip.peel for chip in view(bench.state, bench.now).chips} == {Peel.WARM}
