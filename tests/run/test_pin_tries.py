"""Wrong PINs cause ever longer waits, and a restart does not shorten them."""

from __future__ import annotations

from run_samples import Bench, on_shift

from kiosk.run.facts.checks import pin_wait
from kiosk.run.state import commands_shift as s

WRONG, RIGHT = s.TryPin(right=False), s.TryPin(right=True)


def tried(times: int) -> Bench:
    bench = on_shift()
    for _ in range(times):
        bench.wait(pin_wait(bench.state, bench.now))
        bench.do(WRONG)
    return bench


def left(bench: Bench) -> float:
    return pin_wait(bench.state, bench.now)


def test_two_slips_cost_nothing_then_the_waits_double_up_to_a_quarter_of_an_hour() -> None:
    assert [left(tried(times)) for times in range(9)] == [0, 0, 0, 30, 60, 120, 240, 480, 900]
    assert left(tried(30)) == 900


def test_during_the_wait_even_the_right_pin_is_refused() -> None:
    bench = tried(3)
    bench.wait(29.0)
    assert bench.refused(RIGHT) == "refuse.pin.wait"
    bench.wait(1.0)
    bench.do(RIGHT)
    assert left(bench) == 0
    bench.do(WRONG)
    assert left(bench) == 0


def test_after_a_reboot_only_the_time_since_the_machine_came_up_counts() -> None:
    bench = tried(5)
    bench.reboot(seconds=20.0)
    assert left(bench) == 120 - bench.now.clock
    bench.wait(left(bench))
    bench.do(RIGHT)


def test_a_reboot_with_the_wall_clock_set_forward_does_not_end_the_wait() -> None:
    bench = tried(5)
    bench.reboot(seconds=86_400.0)
    assert left(bench) == 120 - bench.now.clock > 100
    assert bench.refused(RIGHT) == "refuse.pin.wait"


def test_a_wall_clock_set_back_does_not_lock_the_station_for_years() -> None:
    bench = tried(3)
    bench.reboot(seconds=-1e8)
    assert left(bench) == 30
    bench.wait(30.0)
    assert left(bench) == 0


def test_choosing_a_new_pin_ends_the_wait() -> None:
    bench = tried(9)
    bench.do(s.ChoosePin())
    assert left(bench) == 0
