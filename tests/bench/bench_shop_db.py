"""The shop's server compared with bare PostgreSQL.

Run `python -m tests.bench.bench_shop_db [full] [PART…]`. Parts are send, report, board and taps; by
default all of them. The bench has its own server in its own folder, not waiting for its disk, for
both sides alike. `full` sends a million events and reports on ten million of twenty stations;
otherwise a tenth or less of that. The last column says whether the goal was met in this run.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from functools import cached_property
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), *(str(ROOT / "tests" / room) for room in
                             ("bench", "log", "commands", "report", "shop", "office"))]  # fmt: skip

import psycopg  # noqa: E402 - the path above leads there
from bench_million import make_log, settled, took  # noqa: E402 - likewise
from bench_table import ms, row, window  # noqa: E402 - likewise
from board_stage import Wired, served, words_of  # noqa: E402 - likewise
from psycopg import sql  # noqa: E402 - likewise
from shop_server import OWNER, Postgres  # noqa: E402 - likewise

from kiosk.catalog.model import Database  # noqa: E402 - likewise
from kiosk.log.facts import changed, ready, shifts_of_all  # noqa: E402 - likewise
from kiosk.log.store import Store  # noqa: E402 - likewise
from kiosk.report.page import to_html  # noqa: E402 - likewise
from kiosk.report.report import build  # noqa: E402 - likewise
from kiosk.run.state import commands as c  # noqa: E402 - likewise
from kiosk.shop import ServerBoardSource, records, ship  # noqa: E402 - likewise
from kiosk.shop.record_queries import RecordsQuery  # noqa: E402 - likewise
from kiosk.station.desk.sending_process import SendingProcess, command  # noqa: E402 - likewise
from kiosk.station.desk.shift import report_data, shift_choice  # noqa: E402 - likewise
from kiosk.words import Words  # noqa: E402 - likewise

STATIONS = 20
TAPS = 100
ROUNDS = 11


def rows_of(log: Path) -> dict[str, list[tuple[Any, ...]]]:
    """Return what is sent of a record, ready in memory."""
    with Store.read_only(log) as store, store.reading():
        ready(store)
        found = {name: [(1, *each) for each in rows] for name, rows in changed(store, 0)}
        found["events"] = [
            (1, each.seq, *each.row, each.sum, each.digest) for each in store.stored()
        ]
    return found


def copied(server: psycopg.Connection[Any], rows: dict[str, list[tuple[Any, ...]]]) -> None:
    """COPY rows into tables like the shop's, keys and indexes included, in one transaction."""
    with server.transaction():
        for name, all_of in rows.items():
            to = sql.Identifier("bare", name.strip('"'))
            with server.cursor().copy(sql.SQL("COPY {} FROM STDIN").format(to)) as copy:
                for each in all_of:
                    copy.write_row(each)


def sending(stage: Stage) -> None:
    """A record sent whole, compared with a bare COPY of the same rows."""
    postgres, log = stage.postgres, stage.log("send", stage.sizes.send)
    rows = rows_of(log)
    bare, ours = [], []
    for nth in range(1 if len(rows["events"]) > 500_000 else 3):
        name = f"sent{stage.run}_{nth}"
        postgres.made(name, f"{name}-1")
        with postgres.sql(name=name) as owner:
            owner.execute("CREATE SCHEMA bare")
            for table in rows:
                plain = sql.Identifier(table.strip('"'))
                owner.execute(sql.SQL("CREATE TABLE bare.{0} (LIKE shop.{0} INCLUDING INDEXES)")
                              .format(plain))  # fmt: skip
            bare.append(took(lambda: copied(owner, rows)))
        ours.append(took(lambda: ship(log, postgres.at(f"{name}-1", name))))  # noqa: B023 - likewise
    many = len(rows["events"])
    row(f"{many} events and their facts sent, against a bare COPY of the rows", ms(median(bare)),
        ms(median(ours)), median(ours) / median(bare), 2.0)  # fmt: skip


TWENTY = """DO $$
DECLARE
    part text;
    made bigint;
BEGIN
    SET LOCAL session_replication_role = replica;
    FOR nth IN 2..{stations} LOOP
        INSERT INTO shop.stations (role) VALUES ('day-' || nth);
        INSERT INTO shop.records (station, generation, role, after, digest, simulated, last, sent)
            SELECT station || nth, 1, 'day-' || nth, after, digest, false, last, sent
            FROM shop.records WHERE record = 1 RETURNING record INTO made;
        FOR part IN SELECT table_name FROM information_schema.columns
                WHERE table_schema = 'shop' AND column_name = 'record'
                    AND table_name <> 'records' LOOP
            EXECUTE format('INSERT INTO shop.%I SELECT (t #= hstore(''record'', %L)).* '
                'FROM shop.%I t WHERE record = 1', part, made, part);
        END LOOP;
    END LOOP;
END $$"""


def twenty(postgres: Postgres, log: Path) -> None:
    """Make the database of a day of twenty stations, all with the same record."""
    postgres.made("day", "day-1")
    ship(log, postgres.at("day-1", "day"))
    with postgres.sql(name="day") as owner:
        owner.execute("UPDATE shop.records SET simulated = false")
        owner.execute("CREATE EXTENSION hstore")
        owner.execute(TWENTY.format(stations=STATIONS))
        owner.execute("ANALYZE")


def reporting(stage: Stage) -> None:
    """A day of twenty stations: the page from all their events, compared with its statements."""
    reader = stage.day
    with stage.postgres.sql(name="day") as owner:
        (many,) = owner.execute("SELECT count(*) FROM shop.events").fetchone() or (0,)
        asked: list[tuple[str, list[object]]] = []
        plain = RecordsQuery.answer

        def heard(office: RecordsQuery, query: str, values: list[object]) -> Any:
            asked.append((query, values))
            return plain(office, query, values)

        setattr(RecordsQuery, "answer", heard)  # noqa: B010 - for this one report
        day(reader)
        setattr(RecordsQuery, "answer", plain)  # noqa: B010

        def alone() -> None:
            with owner.transaction():
                owner.execute("SET LOCAL jit = off")
                for query, values in asked:
                    cursor = owner.cursor(binary=True)
                    cursor.execute(query.encode(), values, prepare=True).fetchall()

        alone()
        with settled():
            pairs = [(took(alone), took(lambda: day(reader))) for _ in range(ROUNDS)]
    bare, ours = (median(each) for each in zip(*pairs, strict=True))
    what = f"a day's report out of {many} events of {STATIONS} stations ({len(asked)} statements)"
    row(what, ms(bare), ms(ours), ours / bare, 1.3)


def day(database: Database) -> str:
    """Build the page of the last day of all stations."""
    with records(database) as sources:
        chosen = shift_choice.choose(shifts_of_all(sources), "day")
        assert chosen is not None
        report = build(report_data.read(sources, chosen), *report_data.moments(chosen.reported))
    return to_html(report, Words("en").say)


@contextmanager
def following(log: Path, database: Database) -> Iterator[None]:
    """Run a process that sends the record as it grows, as the station starts it."""
    with tempfile.TemporaryDirectory(prefix="kiosk-bench-") as place:
        recipes = Path(place) / "recipes"
        subprocess.run(["cp", "-r", str(ROOT / "recipes"), str(recipes)], check=True)
        with (recipes / "shop.yaml").open("a") as file:
            file.write(f'\nshop: {{database: "{database.address}"}}\n')
        sends = SendingProcess(command(log, recipes))
        sends.start()
        try:
            yield
        finally:
            sends.close()


def to_the_board(stage: Stage) -> None:
    """The time from a tap on the screen until the board shows it, the record sent by a process."""
    postgres, taps = stage.postgres, stage.sizes.board
    name, role = f"board{stage.run}", f"pier-{stage.run}"
    postgres.made(name, role)
    station, took_each = Wired(stage.folder / f"{role}.sqlite3"), list[float]()
    station.begins("harbour", "Harbour Lanterns", 40)
    with (
        following(station.path, postgres.at(role, name)),
        served(ServerBoardSource(postgres.at(OWNER, name))) as board,
    ):
        board.until(lambda page: "pier" in page)
        with board.told() as walls:
            next(walls)
            for nth in range(taps):
                time.sleep(0.37 + 0.013 * (nth % 17))  # at varying times between two looks
                began = time.perf_counter()
                if held := not nth % 2:
                    station.do(c.PutOnHold("phone"))
                else:
                    station.forward()
                next(wall for wall in walls if ("on hold" in words_of(wall)) is held)
                took_each.append(time.perf_counter() - began)
    station.recorder.close()
    row(f"tap to board, median of {taps} (longest {ms(max(took_each))}), of 1 s", "1 s",
        ms(median(took_each)), median(took_each), 1.0)  # fmt: skip


def taps_while_sending(stage: Stage) -> None:
    """Tap to frame while the record is sent, compared with no sending; they take turns."""
    told: dict[bool, list[float]] = {True: [], False: []}
    for nth in range(4):
        beside = nth % 2 == 1
        found = window(
            "station", "taps", stage.sizes.taps / 2, beside=_sent(stage, nth) if beside else None
        )
        told[beside] += found["took"]
    row(f"tap to frame while sending, median of {len(told[True])}, against without",
        ms(median(told[False])), ms(median(told[True])),
        median(told[True]) / median(told[False]), 1.05)  # fmt: skip


def _sent(stage: Stage, nth: int) -> Callable[[Path], Any]:
    name, role = f"taps{stage.run}_{nth}", f"glass-{stage.run}-{nth}"
    stage.postgres.made(name, role)
    return lambda folder: following(folder / "log.sqlite3", stage.postgres.at(role, name))


class Sizes(NamedTuple):
    """Amounts measured: events sent, events per station in the report, taps."""

    send: int
    report: int
    board: int
    taps: int


QUICK = Sizes(4_000, 1_000, 10, 20)
USUAL = Sizes(40_000, 10_000, TAPS, 120)
FULL = Sizes(1_000_000, 500_000, TAPS, 400)


class Stage:
    """The server and the records shared by all runs; each run has its own number."""

    def __init__(self, sizes: Sizes) -> None:
        self.sizes, self.run = sizes, 0
        self.postgres = Postgres()
        self._place = tempfile.TemporaryDirectory(prefix="kiosk-bench-")
        self.folder = Path(self._place.name)

    def log(self, name: str, events: int) -> Path:
        """Return a record of at least that many events, made on first use."""
        folder = self.folder / name
        if not folder.exists():
            folder.mkdir()
            make_log(folder, events)
        return folder / "million.sqlite3"

    @cached_property
    def day(self) -> Database:
        """The database of a day of twenty stations."""
        twenty(self.postgres, self.log("report", self.sizes.report))
        return self.postgres.at(OWNER, "day")

    def measure(self, only: Sequence[str] = ()) -> None:
        """Print the rows of all parts, or of the named ones: one run."""
        self.run += 1
        for name, part in PARTS.items():
            if not only or name in only:
                part(self)

    def close(self) -> None:
        """Stop the server and delete the records."""
        self.postgres.stop()
        self._place.cleanup()


PARTS = {"send": sending, "report": reporting, "board": to_the_board, "taps": taps_while_sending}


def main(asked: list[str]) -> None:
    """Print the table, or the requested parts of it."""
    print("| what | bare or goal | shop | ratio | goal | |")
    print("|---|---|---|---|---|---|")
    with closing(Stage(FULL if "full" in asked else USUAL)) as stage:
        stage.measure([each for each in asked if each != "full"])


if __name__ == "__main__":
    main(sys.argv[1:])
