"""The shifts under report: the facts of one or more logs, asked together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from kiosk.log.facts import Begun, Facts, Noted, Stint
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Plan, Step

NOBODY = Stint(-1, 0, "", "", 0, 0)


class At(NamedTuple):
    """Where something happened: log, stint, and the plan of its job."""

    station: str
    stint: Stint
    plan: Plan | None

    def step(self, passage: int, step: int) -> Step | None:
        """Return a step of the job's plan."""
        each = self.passage(passage)
        return each.steps[step] if each is not None and 0 <= step < len(each.steps) else None

    def passage(self, passage: int) -> Pass | None:
        """Return a pass of the job's plan."""
        known = self.plan is not None and 0 <= passage < len(self.plan.passes)
        return self.plan.passes[passage] if self.plan is not None and known else None


@dataclass(frozen=True, slots=True)
class Period:
    """Facts of each log read, `logs`; empty where nothing was read."""

    logs: tuple[Facts, ...] = ()

    def begun(self) -> Mapping[str, Begun]:
        """Return the start records of all jobs that were at a press."""
        return {name: begun for facts in self.logs for name, begun in facts.jobs.items()}

    def at(self, facts: Facts, nth: int) -> At:
        """Return where stint `nth` of a log was."""
        stint = facts.stint(nth) or NOBODY
        begun = facts.jobs.get(stint.job)
        return At(facts.station, stint, begun.plan if begun else None)

    def noted(self) -> Iterator[tuple[At, Noted]]:
        """Yield the events that are looked at by themselves, log by log."""
        for facts in self.logs:
            for noted in facts.noted:
                yield self.at(facts, noted.stint), noted

    def operators(self) -> tuple[str, ...]:
        """Return the initials of all who signed on, by their letters."""
        return tuple(sorted({s.operator for f in self.logs for s in f.stints if s.operator}))

    def shifts(self) -> int:
        """Return how many shifts there are."""
        return sum(len(facts.shifts) for facts in self.logs)

    def began(self) -> float:
        """Return when the first shift began, wall seconds; 0 without any."""
        return min((s.began.wall for f in self.logs for s in f.shifts), default=0.0)


def passage_of(ticket: str) -> int:
    """Return the pass, from 0, of a ticket named `<line>/<pass>/<copy>`; -1 where it has none."""
    parts = ticket.rsplit("/", 2)
    return int(parts[1]) - 1 if len(parts) == 3 and parts[1].isdecimal() else -1


def is_final(step: Step | None) -> bool:
    """Whether a step is a final press."""
    return step is not None and step.phase is Phase.FINAL


def is_hot(step: Step | None) -> bool:
    """Whether the press is closed in a step."""
    return step is not None and step.phase in HOT_PHASES
