"""The wall, served for real: what it shows, and how it stays up to date."""

from __future__ import annotations

import os
import re
import signal
import time
from pathlib import Path

import pytest
from board_stage import DONE_AT, STATIONS, Board, Wired, look, seconds, served, tile, words_of
from command_line import ROOT
from log_samples import at
from log_station import simulated
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.log.record import Follower, StationActivity
from kiosk.log.store import Store
from kiosk.office import OneLog
from kiosk.office import follow as following
from kiosk.run.show import view
from kiosk.run.state import ConfirmMode
from kiosk.run.state import commands as c
from kiosk.shop import ServerBoardSource
from kiosk.words import Words


def test_the_wall_shows_each_station_as_its_screen_does(board: Board) -> None:
    """Clocks 300 days off do not matter: only the time elapsed counts."""
    page = board.get("/wall").text
    assert [look(page, name) for name in STATIONS] == ["dark", "light", "over", "quiet"]
    assert "garment 1 of 18" in tile(page, "pier")
    assert "pre-press" in tile(page, "pier")
    assert 0.0 <= seconds(page, "pier") < 4.0  # 5 s from 1 s after its tap, 2 s ago
    assert "02 WARM" in tile(page, "quay").replace("peel now ", "")
    assert "open now" in tile(page, "wharf")
    assert seconds(page, "wharf") >= 4.0
    assert "nobody signed on" in tile(page, "slip")
    assert re.search(r"done \d\d:\d\d–\d\d:\d\d", tile(page, "quay"))
    jobs = words_of(page[page.index('class="jobs"') :])
    assert "Harbour Lanterns, away 1 of 18 due 2026-02-01" in jobs
    assert "Raft Club 0 of 4" in jobs


def test_amber_is_only_for_overtime_and_lateness(board: Board) -> None:
    css = (ROOT / "kiosk" / "office" / "html" / "board.css").read_text("utf-8")
    for rule in re.findall(r"([^{}]*)\{[^}]*var\(--amber\)[^}]*\}", css):
        assert re.search(r"\.(over|late)\b", rule), rule
    assert board.get("/static/board.css").text == css


def test_the_row_of_a_station_matches_its_screen(tmp_path: Path) -> None:
    """Followed event by event from a fresh record, and at once from a checkpoint."""
    station = Wired(tmp_path / "station.sqlite3")
    with Store.read_only(station.path) as store:
        follower, seen = Follower(store), set[tuple[str, str]]()

        def same() -> StationActivity:
            with store.reading():
                activity, fresh = follower.activity(), Follower(store).activity()
            assert activity is not None
            assert fresh is not None
            assert fresh._replace(since=activity.since) == activity
            shown = view(station.recorder.state, at(station.recorder.state.last.clock))  # type: ignore[union-attr]
            assert activity.kind == shown.kind.value
            assert activity.since <= activity.wall
            if activity.job:
                assert (activity.job, activity.nth, activity.many) == (
                    shown.job,
                    shown.nth,
                    shown.count,
                )
                assert [each.number for each in activity.rack] == [c.number for c in shown.chips]
            if activity.phase and shown.phase is not None:
                assert activity.phase == shown.phase.value
                assert activity.number == shown.number
            seen.add((activity.kind, activity.phase))
            return activity

        station.begins("harbour", "Harbour Lanterns", 3)
        same()
        for _ in range(2):
            station.answer()
            while station.recorder.state.heat is None:
                since = same().since
                station.forward()
            closed = same()
            assert closed.since > since
            assert closed.due == pytest.approx(closed.wall + 6.0)  # 5 s, 1 s after the tap
            station.time_up()
            same()
        station.do(c.PutOnHold("phone"))
        held = same().since
        station.do(c.Tick(), 40.0)
        assert same().since == held
        assert {("heat", "pre-press"), ("hands", "load"), ("held", "load")} <= seen
    station.recorder.close()


def test_a_sheets_own_wait_is_due_when_it_begins_not_until_it_ends(tmp_path: Path) -> None:
    """As on the station's chip: "in 20 s". "0:20-1:00" would read as an estimate of when."""
    station = Wired(tmp_path / "station.sqlite3")
    station.begins("harbour", "Harbour Lanterns", 3)
    station.press_to_rack()
    with Store.read_only(station.path) as store, store.reading():
        activity = Follower(store).activity()
    assert activity is not None
    (cooling,) = activity.rack
    assert (cooling.low, cooling.high) == (activity.wall + 20.0, activity.wall + 20.0)
    assert cooling.late == activity.wall + 60.0
    station.recorder.close()


def test_changes_at_a_station_reach_the_wall_in_order(
    board: Board, postgres: Postgres, stations: dict[str, Wired]
) -> None:
    pier = stations["pier"]
    with board.told() as walls:
        assert look(next(walls), "pier") == "dark"
        for phase in ("lay layer", "final press"):
            if phase == "lay layer":
                pier.time_up()
            else:
                pier.close()
            pier.ship(postgres.at("pier", "board"))
            page = next(wall for wall in walls if phase in tile(wall, "pier"))
            assert look(page, "pier") == ("light" if phase == "lay layer" else "dark")
    told, shown = (
        re.sub(DONE_AT, "", tile(each, "pier")) for each in (page, board.get("/wall").text)
    )
    assert shown == told


def test_a_single_record_is_shown_live_without_a_server(tmp_path: Path) -> None:
    station = Wired(tmp_path / "alone.sqlite3")
    station.begins("ferry", "Ferry order", 3)
    with served(OneLog(station.path, lambda: station.now.wall)) as board, board.told() as walls:
        next(wall for wall in walls if "alone" in wall and "load" in tile(wall, "alone"))
        station.close()
        page = next(wall for wall in walls if look(wall, "alone") == "dark")
        assert seconds(page, "alone") == pytest.approx(6.0, abs=0.11)
        station.time_up()
        next(wall for wall in walls if "lay layer" in tile(wall, "alone"))
        assert "Ferry order" in board.get("/desk").text
        station.recorder.close()
        station.path.rename(tmp_path / "moved.sqlite3")
        page = board.until(lambda page: 'class="fault old"' in page)
        assert "alone.sqlite3" in words_of(page)
        assert board.get("/desk").status == 503


def test_the_wall_says_if_its_record_is_a_simulation(tmp_path: Path) -> None:
    log = tmp_path / "made-up.sqlite3"
    simulated(log, 2)
    board = following.Board()
    with OneLog(log).watched() as watch, watch.looks(None) as looks:
        for look in looks:
            board.store(look)
    wall = board.wall()
    assert wall.fault is not None
    assert "simulation" in Words().say(wall.fault)
    assert not wall.old


def test_an_unreachable_database_is_reported_until_it_returns(
    postgres: Postgres, stations: dict[str, Wired]
) -> None:
    away = ServerBoardSource(Database("host=/nowhere dbname=board user=office"))
    with served(away) as board:
        assert "cannot be reached" in words_of(
            board.until(lambda page: 'class="fault old"' in page)
        )
        assert board.get("/desk").status == 503
    with served(ServerBoardSource(postgres.at("office", "board"))) as board:
        board.until(lambda page: "<h2>pier</h2>" in page)
        with postgres.sql(name="board") as owner:
            owner.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'office'"
            )
        stations["slip"].do(c.Tick(), 9.0)
        board.until(lambda page: 'class="fault old"' in page)
        board.until(lambda page: 'class="fault old"' not in page)


def test_a_board_that_has_stopped_reading_says_so_and_recovers(
    postgres: Postgres, place: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server's own process hangs: its connection stays open, and no news ever comes."""
    monkeypatch.setattr("kiosk.office.live.ALIVE_SECONDS", 0.05)
    ahead = [0.0]
    pid = "SELECT pid FROM pg_stat_activity WHERE usename = 'office' AND datname = 'board'"
    with postgres.sql(name="board") as owner:
        before = {pid for (pid,) in owner.execute(pid)}
        with served(ServerBoardSource(place), clock=lambda: time.monotonic() + ahead[0]) as board:
            board.until(lambda page: "<h2>pier</h2>" in page)
            (hung,) = {pid for (pid,) in owner.execute(pid)} - before
            os.kill(hung, signal.SIGSTOP)
            try:
                with board.told() as walls:
                    assert "stopped reading" not in next(walls)
                    ahead[0] = 40.0
                    next(wall for wall in walls if "stopped reading" in wall)
            finally:
                os.kill(hung, signal.SIGCONT)
            board.until(lambda page: "stopped reading" not in page)


def test_two_tablets_signed_in_as_one_station_are_reported(
    postgres: Postgres, place: Database, stations: dict[str, Wired], tmp_path: Path
) -> None:
    """A copied ~/.pg_service.conf: one tile would alternate between the two tablets."""
    other, board = Wired(tmp_path / "copied.sqlite3"), following.Board()
    other.do(c.Start("0.1.0"))
    with ServerBoardSource(place).watched() as watch:
        for nth, tablet in enumerate((stations["slip"], other, stations["slip"])):
            tablet.do(c.SignOn("QVWX"[nth], ConfirmMode.GROUPED))
            tablet.ship(postgres.at("slip", "board"))
            with watch.looks(watch.wait(20.0)) as looks:
                for look in looks:
                    board.store(look)
            fault = board.wall().fault
            assert (fault is not None) is (nth == 2), nth  # a new tablet in place of a broken one
    assert fault is not None
    assert "slip" in Words().say(fault)
    assert not board.wall().old  # the others' tiles are as true as ever
    other.recorder.close()
