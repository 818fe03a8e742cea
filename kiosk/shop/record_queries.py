"""Runs statements written for a record's own file on several records at the server at once."""

import logging
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Self

from psycopg import Cursor

from kiosk.shop.server import Server

TYPES = {int: "bigint", float: "double precision", str: "text"}
TABLE = re.compile(r'\b(?:FROM|JOIN) ("?[a-z]+"?)')
SEEN = "{0} AS NOT MATERIALIZED (SELECT * FROM office.{0} WHERE record = asked.record)"
LISTED = re.compile(r"SELECT ([^()]+), (\w+) (FROM .+)\sORDER BY stint, seq", re.DOTALL)
LISTS = r"SELECT \1, array_agg(\2 ORDER BY seq) \3 GROUP BY \1 ORDER BY stint, min(seq)"

PAGE = 10_000  # rows held in memory twice
FEW = 2  # for this few statements, a second connection's look-up of the tables does not pay

logging.getLogger("psycopg").addHandler(logging.NullHandler())  # a lost connection becomes a fault

Rows = Iterable[tuple[Any, ...]]
Answer = Cursor[tuple[Any, ...]]


@dataclass(slots=True)
class RecordQueries:
    """A query on one record and its rows; None until they have arrived."""

    record: int
    values: tuple[object, ...]
    rows: list[Any] | None = None


Sent = tuple[Sequence[RecordQueries], Answer]


def for_records(sql: str, queries: Sequence[RecordQueries]) -> tuple[str, list[object]]:
    """Convert a statement for a record's own file into one for several records, with its values.

    Each row is preceded by the number, from 1, of the query it answers. Every table becomes the
    office's view of it, restricted to that record. Values equal for all records are passed once;
    those of LIMIT have to be equal.
    """
    columns: list[list[Any]] = [[each.record for each in queries]]
    heads, values = ["record"], list[object]()
    query, *parts = sql.replace("%", "%%").split("?")
    for nth, part in enumerate(parts):
        given = [each.values[nth] for each in queries]
        if all(value == given[0] for value in given):
            values.append(given[0])
            query += f"%s{part}"
        else:
            columns.append(given)
            heads.append(f"value{nth}")
            query += f"asked.value{nth}{part}"
    tables = ", ".join(map(SEEN.format, dict.fromkeys(TABLE.findall(sql))))
    arrays = ", ".join(f"%s::{TYPES[type(column[0])]}[]" for column in columns)
    return (
        f"SELECT asked.nth, told.* FROM unnest({arrays}) WITH ORDINALITY "
        f"AS asked ({', '.join(heads)}, nth) CROSS JOIN LATERAL (WITH {tables} {query}) AS told",
        [*columns, *values],
    )


def listing(sql: str) -> str:
    """Return a statement on stints changed so that the server groups its last column into lists."""
    return LISTED.sub(LISTS, sql)


class RecordsQuery:
    """Queries on several records as of one moment; use it in a pipeline, `guarded`.

    All queries made before a row is read go to the server together, each statement once for all
    records. The server works on the last one while rows of the others are read, and on two at a
    time if a second connection, `beside`, is given.
    """

    def __init__(self, server: Server, untaken: Rows = (), beside: Self | None = None) -> None:
        self.server = server
        self._beside, self._untaken = beside, untaken
        self._waiting: dict[str, list[RecordQueries]] = {}
        self._under_way: list[Sent] = []

    @cached_property
    def untaken(self) -> Mapping[str, tuple[tuple[str, str, str], ...]]:
        """Garments of shared orders that no station has taken, by job: line, number, size."""
        found: dict[str, tuple[tuple[str, str, str], ...]] = {}
        for job, line, number, size in self._untaken:
            found[job] = (*found.get(job, ()), (line, number, size))
        return found

    def rows(self, record: int, sql: str, *values: object) -> Iterator[Any]:
        """Return the rows of a statement for `record` alone."""
        queries = RecordQueries(record, values)
        self._waiting.setdefault(sql, []).append(queries)
        return self._read(queries)

    def _read(self, queries: RecordQueries) -> Iterator[Any]:
        while queries.rows is None:
            self._go_on()
        yield from queries.rows

    def _go_on(self) -> None:
        """Receive what is in progress, or else send all waiting and receive all but the last."""
        if self._under_way:
            _share(*self._under_way.pop(0))
            return
        waiting, self._waiting = list(self._waiting.items()), {}
        second_sent = list[Sent]()
        if self._beside is not None and len(waiting) > FEW:
            second_sent = [self._beside.send(*waiting.pop())]
        last, sent = waiting.pop(), list[Sent]()
        if waiting:
            with self.server.pipeline():  # leaving the pipeline receives them all
                sent = [self.send(*each) for each in waiting]
        self._under_way = [*second_sent, self.send(*last)]
        sent.reverse()
        while sent:
            _share(*sent.pop())

    def send(self, sql: str, queries: Sequence[RecordQueries]) -> Sent:
        """Send a statement for several records."""
        return queries, self.answer(*for_records(sql, queries))

    def answer(self, query: str, values: list[object]) -> Answer:
        """Send one statement."""
        return self.server.cursor(binary=True).execute(query.encode(), values)


def _share(queries: Sequence[RecordQueries], answer: Answer) -> None:
    """Distribute the rows to the queries, without keeping a second copy of them."""
    by_record: list[list[Any]] = [[] for _ in queries]
    while rows := answer.fetchmany(PAGE):
        for row in rows:
            by_record[row[0] - 1].append(row[1:])
    answer.close()
    for each, rows in zip(queries, by_record, strict=True):
        each.rows = rows
