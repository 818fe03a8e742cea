"""What a shift made: counts by garment, times by how they are known. No names of players."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kiosk.report.garments import GarmentRow, Result
from kiosk.report.ratios import Share
from kiosk.report.times import Times, times_of
from kiosk.run import events as e
from kiosk.run.events import Event

# What a supervisor looks at first; `exception.<id>` is the word.
EXCEPTIONS: Mapping[type[Event], str] = {
    e.WasClosed: "short",
    e.UnaskedClosing: "unasked",
    e.OutcomeUnknown: "unknown",
    e.RepressAllowed: "repress",
    e.Ruled: "ruled",
    e.Stopped: "stopped",
    e.SetAside: "aside",
    e.Skipped: "skipped",
    e.Held: "held",
    e.NotClosed: "not_closed",
    e.TakenBack: "taken_back",
    e.Refused: "refused",
    e.WallClockMoved: "clock_moved",
}


@dataclass(frozen=True, slots=True)
class ShiftSummary:
    """The counts of a shift. `jobs` are those that were at the press.

    Of `ordered`, the lines of these jobs: `good` and `accepted` were finished in this shift,
    `other_shifts` in another; `rework` and `still_open` are not finished as of now. `scrap`
    counts garments scrapped in this shift; each is replaced, so it comes on top.
    """

    shift: int
    operators: tuple[str, ...]
    jobs: tuple[str, ...]
    ordered: int
    good: int
    accepted: int
    rework: int
    scrap: int
    still_open: int
    other_shifts: int
    first_pass: Share
    times: Times
    exceptions: Mapping[str, int]
    defects: Mapping[tuple[str, str], int]


def summarise(
    shift: int,
    operators: tuple[str, ...],
    job_before: str,
    events: Iterable[Event],
    garments: Iterable[GarmentRow],
) -> ShiftSummary:
    """Return the summary of `shift` from its events and the rows of all garments as of now.

    `job_before` is the job that was at the press when the shift began, "" for none.
    """
    seen = tuple(events)
    rows = tuple(garments)
    jobs = _jobs(shift, job_before, seen, rows)
    lines = _latest(row for row in rows if row.job in jobs)
    own = [row for row in rows if row.shift == shift and row.result is not Result.OPEN]
    finished = [row for row in lines if row.result in (Result.GOOD, Result.ACCEPTED)]
    here = Counter(row.result for row in finished if row.shift == shift)
    now = Counter(row.result for row in lines)
    return ShiftSummary(
        shift=shift,
        operators=operators,
        jobs=jobs,
        ordered=len(lines),
        good=here[Result.GOOD],
        accepted=here[Result.ACCEPTED],
        rework=now[Result.REWORK],
        scrap=sum(row.result is Result.SCRAP for row in own),
        still_open=now[Result.OPEN] + now[Result.SCRAP],
        other_shifts=len(finished) - here.total(),
        first_pass=Share(sum(row.first_pass for row in own), len(own)),
        times=times_of(seen),
        exceptions=_exceptions(seen),
        defects=_defects(own),
    )


def _jobs(
    shift: int, before: str, events: tuple[Event, ...], rows: tuple[GarmentRow, ...]
) -> tuple[str, ...]:
    found = [before] if before else []
    found += [event.job for event in events if isinstance(event, e.JobStarted | e.JobTaken)]
    found += [row.job for row in rows if row.shift == shift]
    return tuple(dict.fromkeys(found))


def _latest(rows: Iterable[GarmentRow]) -> list[GarmentRow]:
    """The last copy of each line."""
    found: dict[tuple[str, str], GarmentRow] = {}
    for row in rows:
        old = found.get((row.job, row.line))
        if old is None or old.copy < row.copy:
            found[row.job, row.line] = row
    return list(found.values())


def _exceptions(events: Iterable[Event]) -> Mapping[str, int]:
    counts: Counter[str] = Counter()
    for event in events:
        if isinstance(event, e.ReadBack):
            counts["wrong_read"] += not event.right
        elif type(event) in EXCEPTIONS:
            counts[EXCEPTIONS[type(event)]] += 1
    return {key: count for key, count in counts.items() if count}


def _defects(rows: Iterable[GarmentRow]) -> Mapping[tuple[str, str], int]:
    """How often each defect came with each cause ("" where none was named)."""
    counts: Counter[tuple[str, str]] = Counter()
    for row in rows:
        causes = (*row.causes, *[""] * len(row.defects))
        counts.update(zip(row.defects, causes, strict=False))
    return dict(counts.most_common())
