"""Access to the board, and what its answers must not reveal."""

from __future__ import annotations

import re
import subprocess
from html import unescape
from pathlib import Path

import pytest
from board_stage import PAGES, Board, served
from command_line import kiosk
from log_damage import no_file_grows_beyond
from shop_folders import NAMES, write_shop
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.office import Door, OneLog, token_at
from kiosk.office.app import HEADERS
from kiosk.shop import ServerBoardSource, ship

TOKEN = "a-long-token-of-the-tests"


def test_without_its_token_a_board_shows_nothing(place: Database, board: Board) -> None:
    with served(ServerBoardSource(place), Door(TOKEN)) as closed:
        for page in PAGES:
            for shown in ({}, {"Cookie": "token=wrong"}, {"Cookie": "token=é"}):
                answer = closed.get(page, **{k: v.encode() for k, v in shown.items()})  # type: ignore[arg-type]
                assert answer.status == 403
                assert not re.search("Harbour Lanterns|pier|Raft|B612", answer.text, re.I), page
        for wrong in ("", "wrong", TOKEN[:-1], f"{TOKEN}x"):
            assert closed.get(f"/wall?token={wrong}").status == 403
        first = closed.get(f"/sheet?job=harbour&token={TOKEN}")
        assert (first.status, first.headers["location"]) == (303, "/sheet?job=harbour")
        cookie = first.headers["set-cookie"]
        assert {"httponly", "samesite=lax", "path=/"} <= set(cookie.lower().split("; "))
        shown = {"Cookie": cookie.split(";")[0]}
        for page in ("/wall", "/desk", "/jobs", "/sheet?job=harbour", "/static/live.js"):
            assert closed.get(page, **shown).status == 200, page
        closed.until(lambda page: "<h2>pier</h2>" in page, **shown)
    for host, status in (("localhost", 200), ("127.0.0.1:8030", 200), ("[::1]:80", 200),
                         ("board.example", 403), ("localhost.example", 403)):  # fmt: skip
        assert board.get("/wall", Host=host).status == status, host


def test_every_answer_has_the_security_headers_and_nothing_can_be_changed(board: Board) -> None:
    for page in (*PAGES[:2], *PAGES[3:]):
        answer = board.get(page)
        assert answer.status in (200, 307, 404), page
        for name, value in HEADERS.items():
            if name == "cache-control" and page.startswith("/static/"):
                continue
            assert answer.headers[name] == value, (page, name)
        assert "server" not in answer.headers
        assert "<script>" not in answer.text
        assert not re.search(r"\son\w+=|\sstyle=|<style", answer.text), page
    for method in ("POST", "PUT", "DELETE", "OPTIONS"):
        assert board.get("/wall", method).status == 405
    assert board.get("/static/..%2fboard.css").status == 404


def test_a_token_is_long_random_and_readable_only_by_its_owner(tmp_path: Path) -> None:
    one, other = token_at(tmp_path / "a" / "token"), token_at(tmp_path / "b" / "token")
    assert len(one) >= 43  # 256 bits
    assert one != other
    assert token_at(tmp_path / "a" / "token") == one
    assert (tmp_path / "a" / "token").stat().st_mode & 0o777 == 0o600


def test_a_board_that_cannot_store_its_token_does_not_start(tmp_path: Path) -> None:
    log, file = tmp_path / "log.sqlite3", tmp_path / "token"
    assert kiosk("simulate", *write_shop(tmp_path), "--log", str(log)).code == 0
    board = ("board", "--log", str(log), "--host", "0.0.0.0", "--port", "0", "--token-file")
    file.mkdir()
    told = kiosk(*board, str(file))
    assert told.code == 1
    assert told.err == (
        f"The board's token cannot be kept in {file} (it is a folder). "
        "Delete what is there, or name another place: --token-file\n"
    )
    file.rmdir()
    file.write_bytes("clé".encode())
    assert kiosk(*board, str(file)).code == 1


def test_an_empty_token_file_gets_a_real_token(tmp_path: Path) -> None:
    """A full disk or a power cut can leave an empty file, which once let everybody in."""
    file = tmp_path / "token"
    file.write_text("\n")
    assert len(token_at(file)) >= 43
    file.unlink()
    with no_file_grows_beyond(0), pytest.raises(OSError, match="File too large"):
        token_at(file)
    assert not list(tmp_path.iterdir())


def linked(page: str) -> set[str]:
    return {unescape(each) for each in re.findall(r'(?:href|src)="([^"#]*)"', page)}


def test_no_player_name_is_on_any_page_or_in_a_database_dump(
    postgres: Postgres, tmp_path: Path
) -> None:
    log = tmp_path / "log.sqlite3"
    assert kiosk("simulate", *write_shop(tmp_path), "--log", str(log)).code == 0
    postgres.made("named", "ferry-1")
    ship(log, postgres.at("ferry-1", "named"))
    with postgres.sql(name="named") as owner:
        owner.execute("UPDATE shop.records SET simulated = false")
    dump = subprocess.run(
        [postgres.programs / "pg_dump", "-h", postgres.folder, "-U", "owner", "named"],
        check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip
    pages = {}
    with served(OneLog(log)) as board:
        pages["alone"] = board.until(lambda page: "<article" in page)
    with served(ServerBoardSource(postgres.at("owner", "named"))) as board:
        board.until(lambda page: "<article" in page)
        todo = {"/wall", "/card?job=ferry&garment=31"}
        while todo := todo - pages.keys():
            page = todo.pop()
            pages[page] = board.get(page).text
            if "<html" in pages[page]:
                todo |= {each for each in linked(pages[page]) if not each.startswith("?")}
    assert {"/wall", "/jobs", "/desk", "/sheet?job=ferry"} <= pages.keys()
    assert len([page for page in pages if page.startswith("/card")]) >= 3
    assert all("31" in pages[page] for page in ("/sheet?job=ferry", "/card?job=ferry&garment=31"))
    for text in (dump, *pages.values()):
        assert [name for name in NAMES if name.lower() in text.lower()] == []
