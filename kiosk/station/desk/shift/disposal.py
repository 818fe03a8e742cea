"""Deletes the names of players from jobs closed long ago, with a counted receipt in the log."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.base import Message, say
from kiosk.catalog.read import holds_job
from kiosk.catalog.roster import CannotForget, Forgotten, forget_names
from kiosk.run.facts import jobs_to_forget
from kiosk.run.state import DeleteNames, Now, State


@dataclass(frozen=True, slots=True)
class Receipt:
    """`count` names of a job are deleted; where they could not be, `problem` says why.

    `left` says what may still hold them and is out of reach.
    """

    job: str
    count: int
    problem: Message | None = None
    left: tuple[Message, ...] = ()

    @property
    def message(self) -> Message:
        """What to tell the people."""
        told = self.problem or say("station.names_deleted", job=self.job, count=self.count)
        return say("station.names_left", told=told, left=self.left) if self.left else told


def dispose(
    jobs: Path,
    state: State,
    do: Callable[[DeleteNames], object],
    now: Now,
    gone: Collection[str] = (),
) -> tuple[Receipt, ...]:
    """Delete the names of every job that was closed 30 days ago; record each by `do`.

    A job lies where its start record says, else under its name in `jobs`. One that is not there,
    or cannot be written or read, stays due: what is shared may only be away. Only of the jobs in
    `gone` a person has said that their folders were deleted, names and all.
    """
    return tuple(
        _disposed(job, _folder(job, jobs, state), do, job in gone)
        for job in jobs_to_forget(state, now.wall)
    )


def _disposed(
    job: str, folder: Path, do: Callable[[DeleteNames], object], is_gone: bool
) -> Receipt:
    try:
        found = forget_names(folder)
    except CannotForget as problem:
        if not is_gone or holds_job(folder):
            return Receipt(job, 0, problem.message)
        found = Forgotten(0)
    do(DeleteNames(job, found.count))
    return Receipt(job, found.count, left=found.left)


def _folder(job: str, jobs: Path, state: State) -> Path:
    known = state.folders.get(job, "")
    places = (*([Path(known)] if known else []), jobs / job)
    return next(filter(holds_job, places), places[0])
