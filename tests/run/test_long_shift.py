"""A long shift, garment by garment: its replay ends in the same state."""

from __future__ import annotations

from run_samples import Bench, one_piece, plan_of, team

from kiosk.run.apply.fold import replay
from kiosk.run.decide.decide import decide
from kiosk.run.facts.questions import question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.event import Event, Refusal
from kiosk.run.state.model import ConfirmMode

GARMENTS = 2000


class QuickBench(Bench):
    """A bench that does not check every answer against a full replay."""

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
    bench.do(c.SignOn("MK", ConfirmMode.GROUPED))
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


def test_a_shift_of_two_thousand_garments_replays_to_the_same_state() -> None:
    bench = long_shift()
    assert len(bench.events) > 6 * GARMENTS
    assert replay(bench.events) == bench.state
