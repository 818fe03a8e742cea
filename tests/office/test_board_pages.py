"""The board's pages of shifts, orders and garments, and their language."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from board_stage import Board, Wired, served, words_of
from command_line import kiosk
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.office import OneLog
from kiosk.office.pages import heard_ago
from kiosk.run.state import commands as c
from kiosk.words import Words


def test_the_boards_pages_match_those_of_the_command(
    board: Board, place: Database, tmp_path: Path
) -> None:
    for page, asked in (
        ("/desk", ("--shift", "day")),
        ("/desk?day=2026-02-02", ("--shift", "day")),
        ("/sheet?job=harbour", ("--order", "harbour")),
        ("/card?job=harbour&garment=01", ("--garment", "harbour/01")),
    ):
        file = tmp_path / f"{asked[0]}.html"
        assert kiosk("report", *asked, "--shop", place.address, "--html", str(file)).code == 0
        written = file.read_text("utf-8")
        body = written[written.index("<header>") : written.index("</main>")]
        assert "".join(body.split()) in "".join(board.get(page).text.split()), page
    assert "Shifts: 2, stations: 2" in words_of(board.get("/desk?job=harbour").text)
    alone = words_of(board.get("/desk?station=wharf").text)
    assert "Raft Club" in alone
    assert "Harbour Lanterns, away: " not in alone
    assert "No shift to show" in board.get("/desk?day=2026-01-01").text
    assert "Harbour Lanterns, away" in words_of(board.get("/jobs").text)
    assert "1 of 18" in words_of(board.get("/jobs").text)
    for nothing in ("/sheet?job=none", "/card?job=harbour&garment=99", "/card", "/sheet"):
        assert board.get(nothing).status == 404, nothing
    assert "Choose a job under Jobs" in words_of(board.get("/sheet").text)
    assert "Choose a job under Jobs" in words_of(board.get("/card?garment=7").text)
    assert "Enter the garment" in words_of(board.get("/card?job=harbour&garment=").text)


def test_a_card_found_by_line_says_so_and_closing_sheets_link_by_line(board: Board) -> None:
    """Someone types 1 for the shirt marked 01; a line may be another garment's number."""
    told = words_of(board.get("/card?job=harbour&garment=1").text)
    assert "No garment of harbour has the number 1: this is the card of line 1, number 01" in told
    assert "No garment of" not in words_of(board.get("/card?job=harbour&garment=01").text)
    links = re.findall(r'href="(/card[^"]*)"', board.get("/sheet?job=harbour").text)
    assert len(links) == 18
    for link in links[:2]:
        page = board.get(unescape(link)).text
        assert page.count("<header>") == 1, link
        assert "No garment of" not in page


def test_garments_of_a_shared_order_that_no_press_has_taken_are_counted(
    board: Board, postgres: Postgres
) -> None:
    with postgres.sql(name="board") as owner:
        owner.execute(
            "INSERT INTO shop.batches (job, batch, garments) VALUES "
            """('raft', 2, '[["91", "44", "AM", "x", ""], ["92", "45", "AM", "x", ""]]')"""
        )
        try:
            sheet = words_of(board.get("/sheet?job=raft").text)
            assert "6 of 6 garments are not finished" in sheet
            assert "91 44 AM open" in sheet
            assert "0 of 6" in words_of(board.get("/jobs").text)
            with postgres.sql("wharf", "board") as station:
                station.execute("UPDATE shop.records SET sent = now()")
            board.until(lambda page: "Raft Club 0 of 6" in words_of(page))
        finally:
            owner.execute("DELETE FROM shop.batches")


def test_a_chosen_language_is_remembered(board: Board) -> None:
    answer = board.get("/jobs?language=es")
    assert 'lang="es"' in answer.text
    cookie = answer.headers["set-cookie"].split(";")[0]
    assert "sin operador" in board.get("/wall", Cookie=cookie).text
    assert "nobody signed on" in board.get("/wall", Cookie="language=xx").text


def test_a_stations_silence_is_shown_in_minutes_hours_or_days() -> None:
    told = {200: "3 min", 7140: "119 min", 7200: "2 h", 172_700: "47 h", 172_800: "2 days"}
    say = Words("en").say
    for seconds, words in told.items():
        assert say(heard_ago(seconds)) == f"last heard {words} ago"


@pytest.mark.parametrize(("away", "finish", "time"), [(10, 1, 1), (200, 0, 1), (4000, 0, 0)])
def test_a_long_silent_station_shows_no_finishing_time(
    tmp_path: Path, away: int, finish: int, time: int
) -> None:
    """After an hour of silence, how long the station has been at its work is unknown too."""
    station = Wired(tmp_path / "alone.sqlite3")
    station.begins("ferry", "Ferry order", 3)
    with served(OneLog(station.path, lambda: station.now.wall + away)) as board:
        page = board.until(lambda page: "Ferry order" in page)
    station.recorder.close()
    assert (page.count('class="finish"'), page.count('class="time')) == (finish, time)


def test_two_jobs_with_the_same_title_are_told_apart(tmp_path: Path) -> None:
    station = Wired(tmp_path / "alone.sqlite3")
    station.begins("ferry", "Ferry order", 3)
    station.do(c.LeaveJob())
    station.begins("barge", "Ferry order", 2)
    with served(OneLog(station.path, lambda: station.now.wall)) as board:
        wall = words_of(board.until(lambda page: "Ferry order" in page))
        listed = words_of(board.get("/jobs").text)
    station.recorder.close()
    for page in (wall, listed):
        assert "Ferry order (ferry)" in page
        assert "Ferry order (barge)" in page
