"""When a garment's last peel is due."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.run.model import JobRun, Now, Ticket


@dataclass(frozen=True, slots=True)
class PeelTime:
    """Seconds until a peel is due, from and to (negative: past), of `elapsed` seconds waited.

    `uncertain` where the time since opening spans a reboot and comes from wall time.
    """

    from_seconds: float
    to_seconds: float
    elapsed: float
    uncertain: bool


def elapsed(since: Now, now: Now) -> tuple[float, bool]:
    """Return the seconds from `since` to `now`, and whether they are certain (same boot)."""
    if since.boot == now.boot:
        return now.clock - since.clock, True
    return max(0.0, now.wall - since.wall), False


def peel_time(job: JobRun, ticket: Ticket, now: Now) -> PeelTime | None:
    """Return when the last peel of a ticket is due; None where nothing is left to wait for."""
    wait = job.plan.passes[ticket.passage].wait
    if wait is None or ticket.opened is None or ticket.peeled:
        return None
    waited, certain = elapsed(ticket.opened, now)
    return PeelTime(
        wait.from_seconds - waited, wait.to_seconds - waited, waited, uncertain=not certain
    )


def oldest_due(job: JobRun, now: Now) -> Ticket | None:
    """Return the ticket that has been on the rack longest of those whose peel is due."""
    for name in job.rack:
        ticket = job.tickets[name]
        time = peel_time(job, ticket, now)
        if time is None or time.from_seconds <= 0:
            return ticket
    return None
