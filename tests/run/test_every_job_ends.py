"""After random commands and roster changes, people who do what the screen asks,
with a supervisor beside them, reach the end of the job.
"""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import rule
from test_any_commands import LACKS, Crowd

from kiosk.run.decide.decide import settled
from kiosk.run.facts.checks import lot_hold
from kiosk.run.facts.moves import can_be_good
from kiosk.run.facts.questions import ScreenKind, kind_of
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as shift
from kiosk.run.state.cooling import CoolingPlace
from kiosk.run.state.events_shift import Overruled
from kiosk.run.state.model import ConfirmMode, Garment, JobRun, Ticket, TicketStage

MOST_ACTS = 900
"""The longest of a few thousand such stories took a third of these steps."""


class Finishing(Crowd):
    """A station at which anything was done, and from then on only what is asked."""

    @rule(line=st.sampled_from("1234"), digest=st.sampled_from("ab"), lacks=st.sampled_from(LACKS))
    def row_is_written(self, line: str, digest: str, lacks: tuple[str, ...]) -> None:
        number = "" if "number" in lacks else "77"
        row = Garment(line, number, "XL", digest, lacks=lacks)
        self.give(c.RowChanged(line, digest, lacks, row))

    def teardown(self) -> None:
        if hasattr(self, "bench"):
            for _ in range(MOST_ACTS):
                if not self.is_over():
                    self.act()
            assert self.is_over(), self.bench.state
        super().teardown()

    def is_over(self) -> bool:
        """Whether no job is open, at the press or elsewhere."""
        state = settled(self.bench.state, self.bench.now)
        return not state.others and (state.job is None or state.job.done)

    def act(self) -> None:
        """Do one thing that the station asks for now."""
        self.give(c.Tick())
        state, now = settled(self.bench.state, self.bench.now), self.bench.now
        kind, job = kind_of(state, now), state.job
        other = next(iter(state.others.values()), None)
        if other is not None and (job is None or job.done):
            self.give(c.StartJob(other.job, other.plan, "hash", ()))
        alone: dict[ScreenKind, Callable[[], None]] = {
            ScreenKind.NEW: lambda: self.give(c.Start("1.0")),
            ScreenKind.OFF: lambda: self.give(c.SignOn("MK", ConfirmMode.GROUPED)),
            ScreenKind.HEAT: lambda: self.heat_runs_out(0.0),
            ScreenKind.ASK_CLOSED: lambda: self.give(c.SayClosed(True)),
            ScreenKind.SETTING: self.right_answers,
            ScreenKind.VERIFY: self.right_answers,
            ScreenKind.ASK: self.right_answers,
        }
        if kind in alone:
            alone[kind]()
        elif job is not None and kind in (ScreenKind.LOT, ScreenKind.DONE):
            self.decide(job)
        elif job is not None and kind is ScreenKind.HANDS and self.bench.bar.meaning is None:
            self.without_the_bar(job)
        else:
            self.forward(2.0)

    def decide(self, job: JobRun) -> None:
        """A supervisor decides on what waits."""
        hold = lot_hold(job)
        if hold is not None and hold.first is not None:
            self.give(shift.JudgeFirst(hold.first.ticket, True, "", supervisor=True))
        self.give(shift.LetPass(Overruled.SCRAP_LIMIT, "SV", "the cause is known"))
        for name in job.aside:
            self.rule_on(job, job.tickets[name])

    def rule_on(self, job: JobRun, ticket: Ticket) -> None:
        stage = TicketStage.GOOD if can_be_good(job, ticket) else TicketStage.WAITING
        self.give(c.RuleOnTicket(ticket.id, stage, "SV", "looked at it"))

    def without_the_bar(self, job: JobRun) -> None:
        """Give the result that is asked for, or wait for the rack."""
        if job.slot:
            self.give(c.Inspect(job.slot, TicketStage.GOOD))
            self.give(c.PutAside("later"))
            self.give(c.Inspect(job.slot, TicketStage.SCRAP, "scorch", "over_run"))
        elif job.rack:
            self.bench.wait(70.0)
            self.give(shift.SayPlace(job.rack[0], CoolingPlace.LIFTED))


TestEveryJobEnds = Finishing.TestCase
TestEveryJobEnds.settings = settings(
    max_examples=40,
    stateful_step_count=40,
    derandomize=True,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],  # a failing story is read, not shrunk
    suppress_health_check=[HealthCheck.too_slow],
)
