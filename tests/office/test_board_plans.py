"""An order pressed by several plans: the supervisor sees it on the board."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
from board_stage import CHROMIUM, CUT, SPILLS, Board, Browser, Wired, served, words_of
from log_samples import garments, plan
from psycopg.types.json import Jsonb
from shop_server import Postgres

from kiosk.office import OneLog
from kiosk.plan.brief import FORM
from kiosk.run.state import UnbeginJob
from kiosk.run.state import commands as c
from kiosk.shop import ServerBoardSource

NAMES = ("press-1", "press-2", "press-3")
TITLE = "Harbour Lanterns and Friends of the Old Ferry, away set"
CLAIM = """INSERT INTO shop.claims (job, role, station, seq, digest, shared, plan)
VALUES ('harbour', %s, 'x', 0, '', true, %s)"""


def brief(digest: str) -> dict[str, Any]:
    rows: dict[str, Any] = {key: [] for key in ("closings", "peels", "pieces", "steps")}
    return {"pressed": digest, "files": {"materials.yaml": f"{FORM}:{digest}"}, **rows}


@pytest.fixture(scope="module")
def board(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Board]:
    """Two presses on one order, and a third on another."""
    postgres.made("apart", *NAMES)
    with postgres.sql(name="apart") as owner:
        owner.execute("CREATE ROLE office_apart LOGIN IN ROLE shop_reader")
    folder = tmp_path_factory.mktemp("apart")
    for name in NAMES:
        station = Wired(folder / f"{name}.sqlite3")
        job, title = ("harbour", TITLE) if name != NAMES[2] else ("raft", "Raft Club")
        station.begins(job, title, 18)
        station.ship(postgres.at(name, "apart"))
        station.recorder.close()
    with served(ServerBoardSource(postgres.at("office_apart", "apart"))) as found:
        found.until(lambda page: all(f"<h2>{name}</h2>" in page for name in NAMES))
        yield found


@pytest.fixture
def order(postgres: Postgres, board: Board) -> Iterator[Any]:
    """Return the order's claims, with the plan given by the station that begins it."""
    assert board
    with postgres.sql(name="apart") as owner:
        rows = Jsonb([["1", "21", "AM", "x", ""]])
        owner.execute("INSERT INTO shop.batches (job, batch, garments) "
                      "VALUES ('harbour', 1, %s), ('raft', 1, %s)", [rows, rows])  # fmt: skip
        yield lambda name, plan: owner.execute(CLAIM, [name, Jsonb(plan)])
        owner.execute("DELETE FROM shop.batches; DELETE FROM shop.claims")


def wall(board: Board) -> str:
    page = board.get("/wall").text
    return words_of(page[page.index('class="jobs"') :])


def test_an_order_pressed_by_two_plans_is_reported_on_the_wall_and_its_pages(
    board: Board, order: Any
) -> None:
    order(NAMES[0], brief("right"))
    order(NAMES[1], brief("right"))
    assert "plan" not in wall(board)
    order(NAMES[2], brief("wrong"))
    told = "pressed by different plans: press-1, press-2 · press-3"
    board.until(lambda page: told in words_of(page))
    assert wall(board).index(TITLE) < wall(board).index(told) < wall(board).index("Raft Club")
    for page in ("/jobs", "/sheet?job=harbour"):
        assert told in words_of(board.get(page).text), page
    assert "different plans" not in words_of(board.get("/sheet?job=raft").text)
    spanish = words_of(board.get("/jobs?language=es").text)
    assert "se prensa con planes distintos: press-1, press-2 · press-3" in spanish


def test_the_report_of_two_plans_disappears_once_only_one_is_in_use(
    board: Board, order: Any, postgres: Postgres
) -> None:
    order(NAMES[0], brief("right"))
    order(NAMES[1], brief("wrong"))
    board.until(lambda page: "different plans" in page)
    with postgres.sql(name="apart") as owner:
        owner.execute("UPDATE shop.claims SET ended = now() WHERE role = %s", [NAMES[1]])
    board.until(lambda page: "different plans" not in page)


def test_an_unreadable_plan_is_reported_and_the_wall_keeps_working(
    board: Board, order: Any
) -> None:
    order(NAMES[0], brief("right"))
    order(NAMES[1], ["no", "plan"])
    page = board.until(lambda page: "the plan of press-2 cannot be read" in words_of(page))
    assert 'class="fault old"' not in page


PARTED = """INSERT INTO shop.claims (job, role, station, seq, digest, shared)
SELECT 'harbour', role, station, 1, 'of a copy', false FROM shop.records WHERE role = %s"""


@pytest.mark.skipif(CHROMIUM is None, reason="needs a chromium")
def test_an_order_worked_on_by_two_copies_of_a_record_is_reported(
    board: Board, order: Any, postgres: Postgres, browser: Browser
) -> None:
    """Its claim is made at an event that differs in the shop's copy."""
    assert order
    with postgres.sql(name="apart") as owner:
        owner.execute(PARTED, [NAMES[0]])
    told = "two tablets work on it with copies of one record (press-1)"
    board.until(lambda page: told in words_of(page))
    for page in ("/jobs", "/sheet?job=harbour"):
        assert told in words_of(board.get(page).text), page
    for wide, language in product((375, 1280), ("en", "es")):
        browser.opens(f"http://127.0.0.1:{board.port}/wall?language={language}", wide, 800)
        assert browser.runs(SPILLS) == browser.runs(CUT) == [], (wide, language)


def test_a_restarted_job_is_shown_with_its_current_plan(tmp_path: Path) -> None:
    station = Wired(tmp_path / "again.sqlite3")
    station.begins("harbour", "By the wrong recipe", 3)
    with served(OneLog(station.path)) as board:
        board.until(lambda page: "By the wrong recipe" in title(page))
        station.do(c.LeaveJob())
        station.do(UnbeginJob("harbour"))
        station.do(c.StartJob("harbour", plan(title="By the right one"), "other", garments(3)))
        board.until(lambda page: "By the right one" in title(page))
    station.recorder.close()


def title(page: str) -> str:
    """Return the title of the only station on the wall."""
    return "".join(re.findall('<p class="title">(.*)</p>', page))


def test_in_a_browser_the_report_of_two_plans_fits(
    board: Board, order: Any, tmp_path: Path
) -> None:
    if CHROMIUM is None:
        pytest.skip("needs a chromium")
    for name, told in zip(NAMES, (brief("right"), brief("wrong"), 7), strict=True):
        order(name, told)
    board.until(lambda page: "different plans" in page and "cannot be read" in page)
    browser = Browser(tmp_path / "browser")
    try:
        for wide, high in ((375, 800), (1280, 800), (1920, 1080)):
            for language in ("en", "es"):
                for page in ("/wall?", "/jobs?", "/sheet?job=harbour&"):
                    url = f"http://127.0.0.1:{board.port}{page}language={language}"
                    browser.opens(url, wide, high)
                    assert browser.runs(SPILLS) == browser.runs(CUT) == [], (page, wide, language)
                    assert browser.runs(HIDDEN) == [], (page, wide, language)
    finally:
        browser.close()


HIDDEN = """[...document.querySelectorAll('.apart')].filter(e => {
  const box = e.getBoundingClientRect(), wall = document.querySelector('body.wall');
  return !box.height || e.scrollWidth > e.clientWidth + 1
    || wall && innerWidth > 960 && box.bottom > innerHeight; }).map(e => e.outerHTML)
    .concat(document.querySelector('.apart') ? [] : ['none'])"""
