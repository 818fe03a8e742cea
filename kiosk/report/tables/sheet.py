"""A shift's garments as CSV for a spreadsheet: nothing in it is run as a formula."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from kiosk.catalog.base import Message
from kiosk.log.facts import Begun
from kiosk.plan.sources import PlanSources
from kiosk.report.answers.garments import GarmentRow
from kiosk.report.content import Report, spoken

COLUMNS = (
    "station",
    "job",
    "line",
    "number",
    "size",
    "copy",
    "result",
    "first_pass",
    "final_presses",
    "represses",
    "shift",
    "operator",
    "ended",
    "openings",
    "defects",
    "causes",
    "marks",
    "numbers_from",
)
NO_JOBS: Mapping[str, Begun] = {}
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")  # how spreadsheets begin one, or hide it


def to_csv(
    garments: Iterable[tuple[str, GarmentRow]],
    when: Callable[[float], str],
    jobs: Mapping[str, Begun] = NO_JOBS,
) -> str:
    """Return a header and a row per garment with its station, RFC 4180.

    `when` writes wall seconds as text; `jobs` tell what kinds of source a garment's numbers have.
    """
    rows = ((station, *_cells(row, when), _kinds(jobs.get(row.job))) for station, row in garments)
    return _written([COLUMNS, *rows])


def _kinds(begun: Begun | None) -> str:
    """The kinds of source behind a job's numbers, as files spell them; a guess if not known."""
    sources = PlanSources() if begun is None else begun.plan.sources
    return "; ".join(kind.value for kind in sources.kinds())


def tables_to_csv(report: Report, say: Callable[[Message], str]) -> str:
    """Return all tables of a report, a line per cell: section, row, column, value."""
    rows = [("section", "row", "column", "value")]
    for section in (topic.section for topic in report.topics):
        rows += [
            (section.id, str(nth), say(column), spoken(value, say))
            for nth, cells in enumerate(section.table.rows, 1)
            for column, value in zip(section.table.head, cells, strict=True)
        ]
    return _written(rows)


def _written(rows: Iterable[tuple[str, ...]]) -> str:
    return "".join(",".join(cell(text) for text in row) + "\r\n" for row in rows)


def cell(text: str) -> str:
    """Return one cell: a formula gets an apostrophe before it, quotes go around where needed."""
    safe = f"'{text}" if text.lstrip(" ").startswith(FORMULA) else text
    return f'"{safe.replace(chr(34), chr(34) * 2)}"' if set(safe) & set(',"\r\n;') else safe


def _cells(row: GarmentRow, when: Callable[[float], str]) -> tuple[str, ...]:
    return (
        row.job,
        row.line,
        row.number,
        row.size,
        str(row.copy),
        row.result.value,
        "yes" if row.first_pass else "no",
        str(row.finals),
        str(row.represses),
        str(row.shift or ""),
        row.operator,
        "" if row.ended is None else when(row.ended),
        " ".join(seen.value.replace(" ", "-") for seen in row.openings),
        " ".join(row.defects),
        " ".join(row.causes),
        " ".join(row.marks),
    )
