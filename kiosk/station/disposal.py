"""Deletes the names of players from jobs closed long ago, with a counted receipt in the log."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.forget import CannotForget, forget_names
from kiosk.catalog.jobs import list_jobs
from kiosk.catalog.message import Message, say
from kiosk.run.commands_shift import DeleteNames
from kiosk.run.keeping import jobs_to_forget
from kiosk.run.model import Now, State


@dataclass(frozen=True, slots=True)
class Receipt:
    """`count` names of a job are deleted; where they could not be, `problem` says why."""

    job: str
    count: int
    problem: Message | None = None

    @property
    def message(self) -> Message:
        """What to tell the people."""
        return self.problem or say("station.names_deleted", job=self.job, count=self.count)


def dispose(
    jobs: Path, state: State, do: Callable[[DeleteNames], object], now: Now
) -> tuple[Receipt, ...]:
    """Delete the names of every job in `jobs` that was closed 30 days ago; record each by `do`.

    One that cannot be written or read stays due: the next start tries again. So do all where
    `jobs` has no job at all: what is shared may only be away.
    """
    receipts: list[Receipt] = []
    if not list_jobs(jobs):
        return ()
    for job in jobs_to_forget(state, now.wall):
        try:
            receipt = Receipt(job, forget_names(jobs / job))
        except CannotForget as problem:
            receipts.append(Receipt(job, 0, problem.message))
            continue
        do(DeleteNames(receipt.job, receipt.count))
        receipts.append(receipt)
    return tuple(receipts)
