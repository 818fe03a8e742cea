"""A long shift is replayed within a second; deciding keeps up with a screen's frames."""

from __future__ import annotations

import time

from run_samples import Bench, one_piece, plan_of, team

from kiosk.run import commands as c
from kiosk.run.apply import replay
from kiosk.run.decide import decide
from kiosk.run.events import Event
from kiosk.run.model import Confirm, Refusal
from kiosk.run.questions import question_at_hand

GARMENTS = 2000


class QuickBench(Bench):
    """A bench that does not check every answer against a replay of everything."""

    def do(self, command: c.Command) -> tuple[Event, ...]:
        answer = decide(self.state, command, self.now)
        assert not isinstance(answer, Refusal), answer
        self.events += answer
        self.state = replay(answer, self.state)
        return answer


def long_shift() -> QuickBench:
    """A whole job of cold-peel garments, six events each, peeled in the next closings."""
    bench = QuickBench()
    plan = plan_of(one_piece())
    bench.do(c.Start("1.0"))
    bench.do(c.SignOn("MK", Confirm.GROUPED))
    numbers = tuple(str(n % 100) for n in range(GARMENTS))
    bench.do(c.StartJob(plan.job, plan, "hash", team(*numbers)))
    while not bench.job.done:
        if question_at_hand(bench.job) is not None:
            bench.answer()
        elif bench.bar.meaning is not None:
            bench.tap()
        elif bench.state.heat is not None and bench.state.heat.starts + 6.0 > bench.clock:
            bench.until(bench.state.heat.starts + 6.0).tick()
        elif bench.state.heat is not None:
            bench.ring()
        else:
            bench.tick(61.0)
    return bench


def test_a_shift_of_two_thousand_garments_is_replayed_within_a_second() -> None:
    bench = long_shift()
    assert len(bench.events) > 6 * GARMENTS
    best = min(_seconds_of_replay(bench) for _ in range(3))
    assert best < 1.0, f"{len(bench.events)} events took {best:.2f} s"


def _seconds_of_replay(bench: Bench) -> float:
    began = time.process_time()
    state = replay(bench.events)
    took = time.process_time() - began
    assert state == bench.state
    return took
