"""`kiosk report --shop`: the shop's server gives the same answers as the records themselves."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from command_line import Result, kiosk
from log_samples import garments, plan
from log_station import Station, simulated
from psycopg import Cursor
from shop_server import Postgres, holds_a_part
from week_press import Story
from week_stories import hard, make_week

from kiosk.log.facts import (
    FactSource,
    GarmentCount,
    facts,
    job_start,
    lines_of,
    read_through,
    ready,
    rows_of_jobs,
    shifts,
    shifts_of_all,
    story,
)
from kiosk.log.store import Store
from kiosk.run.state import ConfirmMode
from kiosk.run.state import commands as c
from kiosk.shop import Away, ship
from kiosk.shop.reading import records
from kiosk.shop.record_queries import RecordsQuery
from kiosk.station.desk.shift import report_data, shift_choice

STATIONS = ("dock-east", "dock-north", "dock-south")
ORDER = "raft-polo-1"


def two_days(day: int) -> Iterator[tuple[str, Story]]:
    """A garment scrapped on Tuesday; a failed check, slips and early peels on Friday."""
    yield from hard(day) if day in (1, 4) else ()


@pytest.fixture(scope="module")
def logs(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Records of three stations, sent as if they were not simulations."""
    made = sorted(make_week(tmp_path_factory.mktemp("week"), two_days))
    found = [log.rename(log.with_stem(f"dock-{log.stem}")) for log in made]
    postgres.made("week", *STATIONS)
    for log in found:
        ship(log, postgres.at(log.stem, "week"))
    with postgres.sql(name="week") as connection:
        connection.execute("UPDATE shop.records SET simulated = false")
        connection.execute("CREATE ROLE auditor LOGIN IN ROLE shop_reader")
    return found


def by_files(logs: list[Path], *options: str) -> Result:
    return kiosk("report", *options, *(each for log in logs for each in ("--log", str(log))))


def by_shop(postgres: Postgres, *options: str) -> Result:
    return kiosk("report", *options, "--shop", postgres.at("auditor", "week").address)


@pytest.mark.parametrize(
    "options",
    [
        "", "--shift day", "--shift all --people --json", "--shift 2 --busy-time 8h",
        "--from 2026-02-02 --to 2026-02-04", "--shift 7", "--json",
        f"--garment {ORDER}/{{number}}", f"--garment {ORDER}/{{number}} --json",
        f"--order {ORDER}", "--order none",
    ],
)  # fmt: skip
def test_reports_from_the_server_equal_those_from_the_files(
    options: str, postgres: Postgres, logs: list[Path]
) -> None:
    asked = options.format(number="61").split()
    ours = by_shop(postgres, *asked)
    assert ours == by_files(logs, *asked)
    assert (ours.out == "") is (ours.code == 1) is (options in ("--shift 7", "--order none"))


def test_report_files_from_the_server_equal_those_from_the_records(
    postgres: Postgres, logs: list[Path], tmp_path: Path
) -> None:
    kinds = ("html", "csv", "tables")
    for where, said in (("files", by_files), ("shop", by_shop)):
        (tmp_path / where).mkdir()
        to = (each for kind in kinds for each in (f"--{kind}", str(tmp_path / where / kind)))
        assert said(logs if said is by_files else postgres, "--shift", "all", *to).code == 0  # type: ignore[arg-type]
    for kind in kinds:
        ours = (tmp_path / "shop" / kind).read_bytes()
        assert ours == (tmp_path / "files" / kind).read_bytes()
        assert len(ours) > 2000


def test_the_stations_of_a_day_are_reported_together(postgres: Postgres, logs: list[Path]) -> None:
    told = json.loads(by_shop(postgres, "--shift", "day", "--json").out)
    assert {shift["station"] for shift in told["shifts"]} == set(STATIONS)
    assert {each["job"] for each in told["job_counts"]} == {
        "raft-polo-4", "ice-crew-4", "swim-school-4"
    }  # fmt: skip
    assert {pulled["press"] for pulled in told["pull_back"]} == {"bench-east"}


def same_facts(source: FactSource, log: Path) -> None:
    """Check that a report reads the same from a record's source as from its file."""
    with Store.read_only(log) as store, store.reading():
        ready(store)
        known = shifts(store)
        assert shifts(source) == known
        for wanted in (known, known[-1:], ()):
            assert read_through(facts(source, wanted)) == read_through(
                facts(store, wanted, source.name)
            )
        for job in read_through(facts(store, known)).jobs:
            assert job_start(source, job) == job_start(store, job)
            assert list(rows_of_jobs(source, [job])) == list(rows_of_jobs(store, [job]))
            for called in ("1", "2", "61", "44"):
                assert lines_of(source, job, called) == lines_of(store, job, called)
                assert story(source, job, called) == story(store, job, called)


def test_each_record_reads_the_same_from_the_server(postgres: Postgres, logs: list[Path]) -> None:
    with records(postgres.at("auditor", "week")) as found:
        assert [source.name for source in found] == list(STATIONS)
        for source, log in zip(found, logs, strict=True):
            same_facts(source, log)
            assert len(list(source.events(5, 9))) == 5
            assert holds_a_part(postgres, log, "week") == source.last


def test_each_statement_runs_once_for_all_stations(
    postgres: Postgres, logs: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """As many statements for three stations as for one, none of them twice."""
    asked: list[str] = []
    answer = RecordsQuery.answer

    def heard(office: RecordsQuery, query: str, values: list[object]) -> Cursor[Any]:
        asked.append(query)
        return answer(office, query, values)

    monkeypatch.setattr(RecordsQuery, "answer", heard)

    def of(most: int) -> list[str]:
        asked.clear()
        with records(postgres.at("auditor", "week")) as found:
            chosen = shift_choice.choose(shifts_of_all(found[:most]), "all")
            assert chosen is not None
            report_data.read(found[:most], chosen)
        return asked.copy()

    three, one = of(3), of(1)
    assert len(three) == len(set(three)) <= len(one) + 1
    assert 20 < len(three) < 30


def counts(postgres: Postgres, at_once: int, meanwhile: str = "") -> list[GarmentCount]:
    """Return the garment counts before `meanwhile`, read over that many connections."""
    with postgres.sql(name="week") as owner, records(postgres.at("auditor", "week")) as found:
        (many,) = owner.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE usename = 'auditor'"
        ).fetchone() or (0,)
        assert many == at_once
        owner.execute(meanwhile or "SELECT 1")
        chosen = shift_choice.choose(shifts_of_all(found), "all")
        assert chosen is not None
        return [
            each for log in report_data.read(found, chosen).period.logs for each in log.garments
        ]


def test_two_connections_read_the_same_moment(postgres: Postgres, logs: list[Path]) -> None:
    replaced = "UPDATE shop.garment SET replaced_by = replaced_by {} 1"
    before = counts(postgres, 2, replaced.format("+"))
    after = counts(postgres, 2, replaced.format("-"))
    assert any(each.latest for each in before)
    assert not any(each.latest for each in after)
    assert counts(postgres, 2) == before


def test_a_role_limited_to_one_connection_reads_the_same(
    postgres: Postgres, logs: list[Path]
) -> None:
    twice = counts(postgres, 2)
    with postgres.sql(name="week") as owner:
        owner.execute("ALTER ROLE auditor CONNECTION LIMIT 1")
        try:
            assert counts(postgres, 1) == twice
        finally:
            owner.execute("ALTER ROLE auditor CONNECTION LIMIT -1")


def test_a_server_lost_while_reading_is_reported(postgres: Postgres, logs: list[Path]) -> None:
    others = """SELECT pg_terminate_backend(pid) FROM pg_stat_activity
        WHERE datname = 'week' AND pid <> pg_backend_pid()"""

    def read() -> None:
        with records(postgres.at("auditor", "week")) as found:
            with postgres.sql(name="week") as owner:
                owner.execute(others)
            shifts_of_all(found)

    with pytest.raises(Away):
        read()


def test_facts_of_another_version_or_generation_are_derived_again(
    postgres: Postgres, tmp_path: Path
) -> None:
    """The second generation is read whole; shifts ended before it parted belong to the first."""
    postgres.made("forked", "mill")
    log, mill = tmp_path / "mill.sqlite3", postgres.at("mill", "forked")
    station, copy = Station(log), tmp_path / "copy.sqlite3"
    station.begin(3)
    station.press_to_rack()
    station.do(c.HandOver())
    with closing(sqlite3.connect(copy)) as other:
        station.recorder.store.copy_into(other, -1)
    shared = station.recorder.last
    for each, seconds in ((station, 500.0), (Station(copy, clock=9_000.0), 9_100.0)):
        each.clock = seconds
        each.do(c.SignOn("ZD", ConfirmMode.GROUPED))
        each.do(c.StartJob("ferry-order", plan(), "hash", garments(3)))
        each.press_to_rack()
        each.recorder.close()
    ship(log, mill)
    assert ship(copy, mill, new_generation=True).last > shared
    with postgres.sql(name="forked") as connection:
        connection.execute("UPDATE shop.mark SET version = version - 1")
    for version in ("older", "own"):
        with records(postgres.at("owner", "forked")) as (first, second):
            assert (first.name, second.name) == ("mill", "mill (2)")
            assert isinstance(first, Store) is (version == "older")
            same_facts(first, log)
            assert [shift.id for shift in shifts(first)] == [1, 2]
            assert [shift.id for shift in shifts(second)] == [2]
            second.since = 0
            same_facts(second, copy)
        ship(log, mill)  # the first one's facts again, as of this version


def test_a_shop_with_only_simulations_is_reported_as_such(
    postgres: Postgres, tmp_path: Path
) -> None:
    postgres.made("sims", "dock-west")
    simulated(tmp_path / "dock-west.sqlite3", 1)
    ship(tmp_path / "dock-west.sqlite3", postgres.at("dock-west", "sims"))
    said = kiosk("report", "--shop", postgres.at("owner", "sims").address)
    assert said.code == 1
    assert "No station has sent a shift to this server" in said.err
    assert "Simulations are left out" in said.err
