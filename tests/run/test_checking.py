"""The press is checked at its setting before heat, in a shop that requires it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from every_kind import CHECKED
from run_samples import Bench, bench_with, on_shift, one_piece, plan_of, team

from kiosk.catalog.model import Demand
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.events_shift import Lapse, Overruled, PressVerified, VerificationLapsed
from kiosk.run.state.rules import Rules

HELD = (True, True, True, True)
GOOD = s.VerifyPress((301, 298, 303, 299, 304), HELD)
WAIVED = s.LetPass(Overruled.VERIFICATION, "supervisor", "the probe is away")


def checked(rules: Rules = CHECKED) -> Bench:
    """A job begun under `rules`, the press set, the size question next."""
    bench = on_shift()
    plan = plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    bench.do(c.ReadSetting(300))
    return bench


def press_one(bench: Bench) -> None:
    """Do both closings of the current garment."""
    for _ in range(2):
        bench.tap()
        bench.ring()


def test_without_the_shops_rule_no_check_is_asked() -> None:
    assert bench_with().is_in(ScreenKind.HANDS)


def test_the_card_comes_after_the_setting_and_before_any_heat() -> None:
    bench = checked()
    assert bench.is_in(ScreenKind.VERIFY)
    assert bench.verb == "-"
    (event,) = bench.do(GOOD)
    assert isinstance(event, PressVerified)
    assert (event.press, event.temperature, event.offset, event.spread) == (
        "press-one",
        300,
        1.0,
        6,
    )
    assert event.passed
    bench.answer()
    assert bench.verb == "close 12"
    press_one(bench)
    assert bench.answer().verb == "close 13"


@pytest.mark.parametrize(
    ("readings", "held"),
    [
        ((306, 306, 306, 306, 306), HELD),  # the mean is 6 off, 5 are allowed
        ((300, 295, 306, 300, 300), HELD),  # 11 apart, 10 are allowed
        ((300, 300, 300, 300, 300), (True, True, False, True)),  # slips in front
    ],
)
def test_a_press_that_is_off_uneven_or_slips_does_not_pass(
    readings: tuple[int, ...], held: tuple[bool, ...]
) -> None:
    bench = checked()
    (event,) = bench.do(s.VerifyPress(readings, held))
    assert isinstance(event, PressVerified)
    assert not event.passed
    assert bench.is_in(ScreenKind.VERIFY)
    bench.do(GOOD)
    assert bench.answer().is_in(ScreenKind.HANDS)


def test_the_limits_are_the_last_values_that_pass() -> None:
    bench = checked()
    (event,) = bench.do(s.VerifyPress((305, 310, 300, 305, 305), HELD))
    assert isinstance(event, PressVerified)
    assert (event.offset, event.spread, event.passed) == (5.0, 10, True)


def test_an_incomplete_card_is_refused() -> None:
    bench = checked()
    assert bench.refused(s.VerifyPress((300,) * 4, HELD)) == "refuse.verify.incomplete"
    assert bench.refused(s.VerifyPress((300,) * 5, HELD[:3])) == "refuse.verify.incomplete"
    assert bench.refused(s.VerifyPress((300, 300, 0, 300, 300), HELD)) == "refuse.verify.reading"
    assert bench.refused(s.VerifyPress((300, 300, 3000, 300, 300), HELD)) == "refuse.verify.reading"


def test_a_supervisor_can_override_a_check_that_is_only_asked_for() -> None:
    bench = checked()
    assert bench.refused(replace(WAIVED, reason=" ")) == "refuse.reason"
    assert bench.refused(replace(WAIVED, supervisor="")) == "refuse.supervisor"
    other = replace(WAIVED, what=Overruled.SCRAP_LIMIT)
    assert bench.refused(other) == "refuse.override.nothing"
    assert bench.names(WAIVED) == ("Overridden",)
    assert bench.answer().is_in(ScreenKind.HANDS)


def test_a_required_check_cannot_be_overridden_even_by_a_supervisor() -> None:
    bench = checked(replace(CHECKED, verify=Demand.REQUIRED))
    assert bench.refused(WAIVED) == "refuse.override.required"
    assert bench.is_in(ScreenKind.VERIFY)


def lapsed(bench: Bench) -> Lapse:
    (found,) = [e for e in bench.events if isinstance(e, VerificationLapsed)]
    return found.why


def test_a_check_lapses_after_four_hours_of_work() -> None:
    bench = checked()
    bench.do(GOOD)
    bench.answer()
    for _ in range(4):
        bench.wait(3590.0)
        bench.do(c.Tick())
        bench.answer()  # after a break the number is read again: a move of the hands
        bench.do(c.PutOnHold())
        bench.tap()
        bench.do(c.ReadSetting(300))
    assert bench.shown.check is not None
    assert bench.shown.check.holds
    bench.wait(120.0)
    bench.do(c.Tick())
    assert lapsed(bench) is Lapse.TIME
    assert bench.is_in(ScreenKind.VERIFY)


def test_a_check_lapses_after_an_hour_without_a_move() -> None:
    bench = checked()
    bench.do(GOOD)
    bench.answer()
    bench.wait(3601.0)
    assert bench.is_in(ScreenKind.SETTING)  # the press may have been switched off
    bench.do(c.Tick())
    assert lapsed(bench) is Lapse.IDLE
    bench.do(c.ReadSetting(300))
    assert bench.is_in(ScreenKind.VERIFY)


def test_a_check_lapses_with_another_setting() -> None:
    bench = checked()
    bench.do(GOOD)
    bench.do(c.ReadSetting(310))
    assert lapsed(bench) is Lapse.SETTING
    bench.do(c.ReadSetting(300))
    assert bench.is_in(ScreenKind.VERIFY)


def test_a_check_lapses_with_the_power() -> None:
    bench = checked()
    bench.do(WAIVED)
    bench.reboot()
    assert bench.is_in(ScreenKind.SETTING)
    bench.do(c.ReadSetting(300))
    assert lapsed(bench) is Lapse.RESTART
    assert bench.is_in(ScreenKind.VERIFY)


def test_a_check_holds_over_a_restart_of_the_program_and_into_the_next_job() -> None:
    bench = checked()
    bench.do(GOOD)
    bench.do(c.Start("1.0"))
    bench.do(c.LeaveJob())
    plan = plan_of(one_piece(), job="next")
    bench.do(c.StartJob("next", plan, "hash", team("7", "8"), rules=CHECKED))
    bench.do(c.ReadSetting(300))
    assert not bench.is_in(ScreenKind.VERIFY)
    assert lapses(bench) == 0


def lapses(bench: Bench) -> int:
    return sum(isinstance(e, VerificationLapsed) for e in bench.events)


def test_each_press_needs_its_own_check() -> None:
    bench = checked()
    bench.do(GOOD)
    bench.do(c.LeaveJob())
    plan = plan_of(one_piece(), job="next", press="press-two")
    bench.do(c.StartJob("next", plan, "hash", team("7", "8"), rules=CHECKED))
    bench.do(c.ReadSetting(300))
    assert bench.is_in(ScreenKind.VERIFY)


def test_a_garment_that_has_had_heat_is_not_kept_waiting() -> None:
    """Four hours end between its two closings: it is finished first."""
    bench = checked()
    bench.do(GOOD)
    bench.answer()
    bench.tap()
    bench.ring()
    bench.wait(3700.0)
    bench.do(c.Tick())
    assert lapsed(bench) is Lapse.IDLE
    bench.answer()
    assert bench.verb == "close 12"
    bench.tap()
    bench.ring()
    assert bench.is_in(ScreenKind.VERIFY)
