"""Counts final presses from the events alone, without the state machine's own counting."""

from __future__ import annotations

from kiosk.plan.model import Phase, Plan
from kiosk.run.state import (
    Closed,
    Event,
    JobStarted,
    JobTaken,
    NeverClosed,
    NotClosed,
    RepressAllowed,
    ToldPressed,
)

TicketKey = tuple[str, str]  # job, ticket
Closing = Closed | ToldPressed | NotClosed | NeverClosed


class Finals:
    """The finals of every ticket as they go by.

    A final counts when it starts; one that turns out not to have been closed does not. The
    first is asked for by the job, each further one needs a supervisor's word before it.
    """

    def __init__(self) -> None:
        self._plans: dict[str, Plan] = {}
        self._job = ""
        self._allowed: dict[TicketKey, int] = {}
        self._begun: dict[TicketKey, list[bool]] = {}  # for each final: was it asked for?

    @property
    def unasked(self) -> frozenset[TicketKey]:
        """The tickets with a further final that no supervisor asked for."""
        return frozenset(key for key, finals in self._begun.items() if not all(finals))

    def note(self, event: Event) -> None:
        """Take note of the next event of the log."""
        if isinstance(event, JobStarted):
            self._plans.setdefault(event.job, event.plan)
        if isinstance(event, JobStarted | JobTaken):
            self._job = event.job
        elif isinstance(event, RepressAllowed):
            key = (self._job, event.ticket)
            self._allowed[key] = self._allowed.get(key, 0) + 1
        elif isinstance(event, Closing) and self._is_final(event):
            finals = self._begun.setdefault((self._job, event.ticket), [])
            if isinstance(event, NotClosed | NeverClosed):
                del finals[-1:]
            else:
                finals.append(len(finals) <= self._allowed.get((self._job, event.ticket), 0))

    def _is_final(self, event: Closing) -> bool:
        """A ticket is named `<line>/<pass, from 1>/<copy>`."""
        plan = self._plans.get(self._job)
        parts = event.ticket.rsplit("/", 2)
        if plan is None or len(parts) < 3 or not parts[1].isdecimal():
            return False
        passage = int(parts[1]) - 1
        if not 0 <= passage < len(plan.passes):
            return False
        steps = plan.passes[passage].steps
        return event.step < len(steps) and steps[event.step].phase is Phase.FINAL
