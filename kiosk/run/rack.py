"""When a garment's last peel is due."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.model import JobRun, Now, Ticket
from kiosk.run.tickets import pass_of


@dataclass(frozen=True, slots=True)
class PeelTime:
    """Seconds until a peel is due, from and to (negative: past), of `waited` seconds so far.

    `uncertain` where the time since opening spans a reboot and comes from wall time.
    """

    from_seconds: float
    to_seconds: float
    waited: float
    uncertain: bool


def elapsed(since: Now, now: Now) -> tuple[float, bool]:
    """Return the seconds from `since` to `now`, and whether they are certain (same boot)."""
    if since.boot == now.boot:
        return now.clock - since.clock, True
    return max(0.0, now.wall - since.wall), False


def peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the last peel of a ticket is due; None where nothing is left to wait for."""
    wait = pass_of(job, ticket).wait
    if wait is None or ticket.opened is None or ticket.peeled:
        return None
    waited, certain = elapsed(ticket.opened, now)
    return PeelTime(
        wait.from_seconds - waited, wait.to_seconds - waited, waited, uncertain=not certain
    )


def is_due(job: JobRun, ticket: Ticket, now: Now) -> bool:
    """Return whether a ticket's last peel need not wait any longer."""
    time = peel_time(job, ticket, now)
    return time is None or time.from_seconds <= 0


def due_clock(job: JobRun, ticket: Ticket, now: Now) -> float | None:
    """Return when the peel was or will be due, on the clock of `now`."""
    time = peel_time(job, ticket, now)
    return None if time is None else now.clock + time.from_seconds


def oldest_due(job: JobRun, now: Now) -> Ticket | None:
    """Return the ticket that has been on the rack longest of those whose peel is due."""
    for name in job.rack:
        if is_due(job, job.tickets[name], now):
            return job.tickets[name]
    return None
