"""`kiosk report`: what a shift made, to read, to keep, for a spreadsheet or a program."""

from __future__ import annotations

import json
import sys
from argparse import Namespace
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from kiosk.catalog.message import Message, say
from kiosk.commands.codes import DONE, FAULTS
from kiosk.commands.files import write_whole
from kiosk.commands.record import with_record
from kiosk.log.rows import Shift, events_of, shifts, ticket_rows
from kiosk.log.store import Store
from kiosk.report.garments import GarmentRow, garment_rows
from kiosk.report.lines import sections
from kiosk.report.page import to_html
from kiosk.report.sheet import to_csv
from kiosk.report.shift import ShiftSummary, summarise
from kiosk.run.events import JobStarted, JobTaken, StationStarted
from kiosk.words import Words

_JOB_BEFORE = """
SELECT seq FROM events
WHERE kind IN ('job-started', 'job-taken', 'job-left', 'job-done') AND seq < ?
ORDER BY seq DESC LIMIT 1
"""


def run(asked: Namespace) -> int:
    """Print the report of a shift, and write the files that were asked for."""
    return with_record(asked, lambda store, words: _report(asked, store, words))


def _report(asked: Namespace, store: Store, words: Words) -> int:
    with store.reading():
        shift = _shift(store, asked.shift)
        if shift is None:
            known = tuple(str(each.id) for each in shifts(store))
            missing = "command.report.no_shift" if known else "command.report.none"
            print(words(missing, asked=asked.shift, known=known), file=sys.stderr)
            return FAULTS
        rows = garment_rows(ticket_rows(store))
        events = [event for _, event in events_of(store, shift)]
        summary = summarise(shift.id, shift.operators, _job_before(store, shift), events, rows)
        heading = _heading(summary, shift, _simulated(store))
    own = [row for row in rows if row.job in summary.jobs]
    if not _written(asked, heading, summary, own, words):
        return FAULTS
    shown = _json(summary, shift) if asked.json else _text(heading, summary, words)
    print(shown)
    return DONE


def _shift(store: Store, asked: str) -> Shift | None:
    found = shifts(store)
    if asked == "last":
        return found[-1] if found else None
    return next((shift for shift in found if str(shift.id) == asked), None)


def _job_before(store: Store, shift: Shift) -> str:
    """The job that was at the press when the shift began."""
    for (seq,) in list(store.rows(_JOB_BEFORE, shift.first)):
        event = next(store.events(seq, seq)).event
        return event.job if isinstance(event, JobStarted | JobTaken) else ""
    return ""


def _simulated(store: Store) -> bool:
    first = next(store.events(1, 1), None)
    return first is not None and isinstance(first.event, StationStarted) and first.event.simulated


def _heading(summary: ShiftSummary, shift: Shift, simulated: bool) -> tuple[Message, Message]:
    title = "report.title_simulated" if simulated else "report.title"
    line = "report.line_going_on" if shift.ended is None else "report.line"
    return say(title, shift=shift.id), say(
        line,
        began=_when(shift.began.wall),
        ended="" if shift.ended is None else _when(shift.ended.wall),
        operators=summary.operators,
        jobs=summary.jobs,
    )


def _written(
    asked: Namespace,
    heading: tuple[Message, Message],
    summary: ShiftSummary,
    rows: Iterable[GarmentRow],
    words: Words,
) -> bool:
    """Write the files; False once it was said which one cannot be."""
    wanted: list[tuple[Path | None, str]] = [
        (asked.csv, to_csv(rows, _when)),
        (asked.html, to_html(*heading, sections(summary), words.say, words.language)),
    ]
    for path, text in wanted:
        try:
            if path is not None:
                write_whole(path, text)
        except OSError as error:
            why = error.strerror or type(error).__name__
            print(words("command.cannot_write", path=str(path), why=why), file=sys.stderr)
            return False
    return True


def _text(heading: tuple[Message, Message], summary: ShiftSummary, words: Words) -> str:
    lines = [words.say(part) for part in heading]
    for section in sections(summary):
        lines += ["", words.say(section.title), f"  {words.say(section.reading)}"]
        lines += [f"  {count:>6}  {words.say(word)}" for word, count in section.rows]
    return "\n".join(lines)


def _json(summary: ShiftSummary, shift: Shift) -> str:
    share = summary.first_pass
    content: dict[str, Any] = {
        "shift": summary.shift,
        "began": _when(shift.began.wall),
        "ended": None if shift.ended is None else _when(shift.ended.wall),
        "operators": list(summary.operators),
        "jobs": list(summary.jobs),
        "ordered": summary.ordered,
        "good": summary.good,
        "accepted": summary.accepted,
        "rework": summary.rework,
        "scrap": summary.scrap,
        "open": summary.still_open,
        "other_shifts": summary.other_shifts,
        "first_pass": {"good": share.part, "of": share.whole, "rate": share.rate},
        "closings": {seen.value: count for seen, count in summary.times.closings.items()},
        "openings": {seen.value: count for seen, count in summary.times.openings.items()},
        "longest_over_s": {s.value: round(t, 1) for s, t in summary.times.longest_over.items()},
        "exceptions": dict(summary.exceptions),
        "defects": [
            {"defect": defect, "cause": cause, "count": count}
            for (defect, cause), count in summary.defects.items()
        ],
    }
    return json.dumps(content, ensure_ascii=False, indent=1)


def _when(wall: float) -> str:
    """Return wall seconds as local time with its offset, to the minute."""
    return datetime.fromtimestamp(wall).astimezone().isoformat(" ", "minutes")
