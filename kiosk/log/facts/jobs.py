"""Facts about jobs: their start, their end, and batches added to them."""

from collections.abc import Callable, Iterator

from kiosk.log.facts.closings import EventContext
from kiosk.log.facts.facts import JobStart
from kiosk.log.facts.tables import Statement, insert
from kiosk.log.store import codec
from kiosk.run.state import Event
from kiosk.run.state import events as e
from kiosk.run.state import events_station as station

_ITS = ["seq", "title", "recipe", "fabric", "press", "garments", "due", "begun"]
_JOB = f"""INSERT INTO job VALUES (?, ?, ?, ?, ?, ?, ?, ?, NULL, ?) ON CONFLICT (job) DO UPDATE
SET {", ".join(f"{name} = excluded.{name}" for name in _ITS)} WHERE job.garments = 0"""


def _job_started(event: e.JobStarted, context: EventContext) -> Iterator[Statement]:
    plan, content = event.plan, codec.to_json(job_start_of(context.seq, event))
    content = codec.to_json(
        codec.from_json(content, JobStart)
    )  # in the form it is read in: 3.0 for a 3
    yield Statement(_JOB, (event.job, context.seq, plan.title, plan.recipe, plan.fabric, plan.press,
                           len(event.garments), event.due, content))  # fmt: skip
    for material, lot in event.lots:
        yield insert("lot", context.stint, context.seq, material, event.job, lot)


def job_start_of(seq: int, event: e.JobStarted) -> JobStart:
    """Return the parts of a start record that reports read."""
    questions = event.accepted_questions
    lacks = tuple((each.line, each.lacks) for each in event.garments if each.lacks)
    return JobStart(
        event.plan, event.rules, questions, seq, event.due, event.lots, event.whole, lacks
    )


def _job_unbegun(event: station.JobUnbegun, context: EventContext) -> Iterator[Statement]:
    """Remove its garments; the job's row stays for shifts that had it, until it is begun again."""
    yield Statement("INSERT INTO gone SELECT ?, 'garment', job, ticket, 0 FROM garment "
                    "WHERE job = ?", (context.seq, event.job))  # fmt: skip
    yield Statement("DELETE FROM garment WHERE job = ?", (event.job,))
    yield Statement("UPDATE job SET garments = 0 WHERE job = ?", (event.job,))


def _batch_taken(event: station.BatchTaken, context: EventContext) -> Iterator[Statement]:
    yield Statement("UPDATE job SET garments = garments + ? WHERE job = ?",
                    (len(event.garments), event.job))  # fmt: skip


def _job_done(event: e.JobDone, context: EventContext) -> Iterator[Statement]:
    yield Statement("UPDATE job SET done = ? WHERE job = ?", (context.seq, event.job))


JOBS: dict[type[Event], Callable[..., Iterator[Statement]]] = {
    e.JobStarted: _job_started, e.JobDone: _job_done, station.JobUnbegun: _job_unbegun,
    station.BatchTaken: _batch_taken,
}  # fmt: skip
