"""Which records a report is made from, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.catalog.base import Message, say
from kiosk.log.facts import Facts
from kiosk.report.content import some
from kiosk.report.period import Period

NAMED = 10
"""So many lost events, and so many jumps of the clock, are named."""


def records(period: Period) -> tuple[Message, ...]:
    """Return a sentence for each record read, and one for each thing wrong with it."""
    return (*(each for facts in period.logs for each in _of(facts)), *_copies(period))


def _copies(period: Period) -> Iterator[Message]:
    """A log that was copied and then used on both tablets has one id twice."""
    by_id: dict[str, list[str]] = {}
    for facts in period.logs:
        by_id.setdefault(facts.record.station, []).append(facts.station)
    for station, names in by_id.items():
        if station and len(names) > 1:
            yield say("report.copies", stations=tuple(names))


def _of(facts: Facts) -> Iterator[Message]:
    if facts.record.code:
        yield say("report.record", station=facts.station, code=facts.record.code)
    lost, elsewhere = facts.record.lost, facts.record.lost_elsewhere
    if lost:
        named = some(tuple(map(str, lost)), NAMED)
        yield say("report.lost", station=facts.station, events=named, count=len(lost))
    if elsewhere:
        yield say("report.lost_elsewhere", station=facts.station, count=elsewhere)
    for jump in facts.record.jumps[:NAMED]:
        how = "report.clock_back" if jump.seconds < 0 else "report.clock_on"
        minutes = round(abs(jump.seconds) / 60)
        yield say(how, station=facts.station, seq=jump.seq, minutes=minutes)


def values(period: Period) -> list[dict[str, object]]:
    """Return the same for a program."""
    return [
        {
            "station": facts.station,
            "id": facts.record.station,
            "head": facts.record.head,
            "clock_jumps": [jump._asdict() for jump in facts.record.jumps],
            "lost": list(facts.record.lost),
            "lost_elsewhere": facts.record.lost_elsewhere,
        }
        for facts in period.logs
    ]
