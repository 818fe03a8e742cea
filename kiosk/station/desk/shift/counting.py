"""The shift's report at the station and on the command line: from open logs to what is said."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path

from kiosk.log.facts import facts, ready, shifts
from kiosk.log.rescue import without_bad
from kiosk.log.store import Store
from kiosk.report.build import Asked, build
from kiosk.report.content import Report
from kiosk.report.period import Chosen, Period, Shifts, choose, day_of


def report_of_shift(store: Store) -> Report | None:
    """Return the report of the last shift of a log, which may go on; None before anybody came.

    Raises LogFault.
    """
    with store.reading():
        ready(store)
        chosen = choose([shifts(store)], "last")
        return None if chosen is None else build(read([store], chosen), *moments(chosen.wanted))


def report_past_damage(store: Store) -> Report | None:
    """Return the same of a station's own log that has bad events: they are left out, and said.

    Raises LogFault, Damaged where SQLite gives the whole file up.
    """
    with without_bad(store.path) as reader:
        return report_of_shift(reader)


def read(stores: Sequence[Store], chosen: Chosen, busy_seconds: float | None = None) -> Asked:
    """Return what the logs tell of the shifts chosen; each is within `reading()`.

    Raises LogFault.
    """
    wanted = _period(stores, chosen.wanted)
    today = wanted if chosen.today == chosen.wanted else _period(stores, chosen.today)
    days = [day_of(shift) for shifts in chosen.wanted for shift in shifts]
    return Asked(wanted, today, _period(stores, chosen.before), busy_seconds, max(days).isoformat())


def _period(stores: Sequence[Store], wanted: Iterable[Shifts]) -> Period:
    each = zip(stores, wanted, names([store.path for store in stores]), strict=True)
    return Period(tuple(facts(store, of_log, name) for store, of_log, name in each if of_log))


def names(paths: Sequence[Path]) -> tuple[str, ...]:
    """Return a name for each log: its file's, with the folder's where two are called alike."""
    stems = [path.stem for path in paths]
    if len(set(stems)) == len(stems):
        return tuple(stems)
    long = [f"{path.resolve().parent.name}/{path.stem}" for path in paths]
    if len(set(long)) == len(long):
        return tuple(long)
    return tuple(f"{name} ({nth})" for nth, name in enumerate(long, 1))


def moments(wanted: Iterable[Shifts]) -> tuple[str, str]:
    """Return when the first shift began and the last ended, "" while one goes on."""
    every = [shift for of_log in wanted for shift in of_log]
    ended = [shift.ended.wall for shift in every if shift.ended is not None]
    last = when(max(ended)) if len(ended) == len(every) else ""
    return when(min(shift.began.wall for shift in every)), last


def when(wall: float) -> str:
    """Return wall seconds as local time with its offset, to the minute."""
    return datetime.fromtimestamp(wall).astimezone().isoformat(" ", "minutes")
