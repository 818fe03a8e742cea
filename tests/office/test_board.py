"""The board, served for real: who is let in, what hangs on the wall, how it goes on being told."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from html import unescape
from itertools import product
from pathlib import Path

import pytest
from board_stage import CHROMIUM, Board, Browser, Wired, served, words_of
from command_line import ROOT, kiosk
from log_samples import at
from shop_folders import NAMES, write_shop
from shop_server import Postgres

from kiosk.catalog.model import Database
from kiosk.commands import INTERRUPTED
from kiosk.log.record import Doing, Follower
from kiosk.log.store import Store
from kiosk.office import Door, OneLog, token_at
from kiosk.office import follow as following
from kiosk.office.app import HEADERS
from kiosk.office.pages import told
from kiosk.run.show import view
from kiosk.run.state import Confirm, Stage
from kiosk.run.state import commands as c
from kiosk.shop import Shop, ship
from kiosk.words import Words

STATIONS = ("pier", "quay", "wharf", "slip")
PAGES = ("/", "/wall", "/wall/live", "/desk", "/jobs", "/card?job=harbour&garment=01",
         "/sheet?job=harbour", "/static/board.css", "/static/report.css", "/static/live.js",
         "/no-such-page")  # fmt: skip
TOKEN = "a-long-token-of-the-tests"


@pytest.fixture(scope="module")
def stations(
    postgres: Postgres, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[dict[str, Wired]]:
    """Closed, light with a rack, over time, and one at which nobody has signed on."""
    postgres.made("board", *STATIONS)
    with postgres.sql(name="board") as owner:
        owner.execute("CREATE ROLE office LOGIN IN ROLE shop_reader")
    folder = tmp_path_factory.mktemp("board")
    found = {name: Wired(folder / f"{name}.sqlite3") for name in STATIONS}
    found["pier"].begins("harbour", "Harbour Lanterns, away", 18, due="2026-02-01")
    found["quay"].begins("harbour", "Harbour Lanterns, away", 18)
    found["wharf"].begins("raft", "Raft Club", 4, by_hand=True)
    found["slip"].do(c.Start("0.1.0"))
    found["quay"].press_to_rack()
    found["quay"].do(c.Inspect("1/1/1", Stage.GOOD), after=30.0)
    found["quay"].press_to_rack()
    for name in ("pier", "wharf"):
        found[name].close()
    found["wharf"].time_up()
    for name, since in zip(STATIONS, (2.0, 10.0, 4.0, 600.0), strict=True):
        found[name].ship(postgres.at(name, "board"), since)
    yield found
    for each in found.values():
        each.recorder.close()


@pytest.fixture(scope="module")
def place(postgres: Postgres, stations: dict[str, Wired]) -> Database:
    """The shop's server as the office signs in."""
    assert stations
    return postgres.at("office", "board")


@pytest.fixture(scope="module")
def board(place: Database) -> Iterator[Board]:
    with served(Shop(place)) as found:
        found.until(lambda page: all(f"<h2>{name}</h2>" in page for name in STATIONS))
        yield found


DONE_AT = r"done \d\d:\d\d–\d\d:\d\d"  # goes on with the clock


def tile(page: str, station: str) -> str:
    """The words of one station's tile."""
    (found,) = re.findall(
        rf"<article[^>]*>\s*<header>\s*<h2>{station}</h2>.*?</article>", page, re.S
    )
    return words_of(found)


def look(page: str, station: str) -> str:
    (found,) = re.findall(rf'<article class="tile (\w+)">\s*<header>\s*<h2>{station}</h2>', page)
    return str(found)


def seconds(page: str, station: str) -> float:
    """The big time of a station's tile."""
    part = page[page.index(f"<h2>{station}</h2>") :]
    return float(re.findall(r'class="time \w+">\s*<span[^>]*data-seconds="([^"]*)"', part)[0])


def test_the_wall_shows_each_station_as_its_glass_does(board: Board) -> None:
    """Clocks that are 300 days off do not matter: what counts is the way from then to now."""
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


def test_amber_is_only_for_over_time_and_what_is_late(board: Board) -> None:
    css = (ROOT / "kiosk" / "office" / "html" / "board.css").read_text("utf-8")
    for rule in re.findall(r"([^{}]*)\{[^}]*var\(--amber\)[^}]*\}", css):
        assert re.search(r"\.(over|late)\b", rule), rule
    assert board.get("/static/board.css").text == css


def test_the_row_of_a_station_is_what_its_glass_shows(tmp_path: Path) -> None:
    """Followed event by event from a fresh record, and at once from a checkpoint."""
    station = Wired(tmp_path / "station.sqlite3")
    with Store.read_only(station.path) as store:
        follower, seen = Follower(store), set[tuple[str, str]]()

        def same() -> Doing:
            with store.reading():
                doing, fresh = follower.doing(), Follower(store).doing()
            assert doing is not None
            assert fresh is not None
            assert fresh._replace(since=doing.since) == doing
            shown = view(station.recorder.state, at(station.recorder.state.last.clock))  # type: ignore[union-attr]
            assert doing.kind == shown.kind.value
            assert doing.since <= doing.wall
            if doing.job:
                assert (doing.job, doing.nth, doing.many) == (shown.job, shown.nth, shown.count)
                assert [each.number for each in doing.rack] == [c.number for c in shown.chips]
            if doing.phase and shown.phase is not None:
                assert doing.phase == shown.phase.value
                assert doing.number == shown.number
            seen.add((doing.kind, doing.phase))
            return doing

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
        station.do(c.HoldOn("phone"))
        held = same().since
        station.do(c.Tick(), 40.0)
        assert same().since == held
        assert {("heat", "pre-press"), ("hands", "load"), ("held", "load")} <= seen
    station.recorder.close()


def test_without_its_token_a_board_gives_nothing(place: Database, board: Board) -> None:
    with served(Shop(place), Door(TOKEN)) as closed:
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


def test_every_answer_has_the_headers_and_nothing_is_changed_by_any(board: Board) -> None:
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


def test_a_token_is_long_random_and_its_owners_alone(tmp_path: Path) -> None:
    one, other = token_at(tmp_path / "a" / "token"), token_at(tmp_path / "b" / "token")
    assert len(one) >= 43  # 256 bits
    assert one != other
    assert token_at(tmp_path / "a" / "token") == one
    assert (tmp_path / "a" / "token").stat().st_mode & 0o777 == 0o600


def test_a_change_at_the_glass_is_told_in_order(
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


def test_one_record_alone_needs_no_server_and_is_told_as_it_is_written(tmp_path: Path) -> None:
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


def test_what_cannot_be_reached_is_said_and_comes_back(
    postgres: Postgres, stations: dict[str, Wired]
) -> None:
    away = Shop(Database("host=/nowhere dbname=board user=office"))
    with served(away) as board:
        assert "cannot be reached" in words_of(
            board.until(lambda page: 'class="fault old"' in page)
        )
        assert board.get("/desk").status == 503
    with served(Shop(postgres.at("office", "board"))) as board:
        board.until(lambda page: "<h2>pier</h2>" in page)
        with postgres.sql(name="board") as owner:
            owner.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'office'"
            )
        stations["slip"].do(c.Tick(), 9.0)
        board.until(lambda page: 'class="fault old"' in page)
        board.until(lambda page: 'class="fault old"' not in page)


def test_a_board_that_has_stopped_reading_says_so_and_goes_on_being_told(
    postgres: Postgres, place: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server's own process hangs: its line stays open, and no news ever comes."""
    monkeypatch.setattr("kiosk.office.live.ALIVE_SECONDS", 0.05)
    ahead = [0.0]
    pid = "SELECT pid FROM pg_stat_activity WHERE usename = 'office' AND datname = 'board'"
    with postgres.sql(name="board") as owner:
        before = {pid for (pid,) in owner.execute(pid)}
        with served(Shop(place), clock=lambda: time.monotonic() + ahead[0]) as board:
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


def test_a_station_of_a_newer_program_takes_no_other_from_the_wall(
    board: Board, postgres: Postgres, browser: Browser
) -> None:
    def tells(kind: str, phase: str, rack: str = "[]") -> None:
        with postgres.sql("slip", "board") as station:
            station.execute("UPDATE shop.now SET (kind, phase, rack) = (%s, %s, %s)",
                            [kind, phase, rack])  # fmt: skip
            station.execute("UPDATE shop.records SET sent = now()")

    for kind, phase in (("humming", ""), ("hands", "steam")):
        tells(kind, phase)
        page = board.until(lambda page: "newer" in tile(page, "slip"))
        assert [name for name in STATIONS if f"<h2>{name}</h2>" in page] == list(STATIONS)
        for wide, language in product((375, 800, 1280), ("en", "es")):
            browser.opens(f"http://127.0.0.1:{board.port}/wall?language={language}", wide, 800)
            assert browser.runs(SPILLS) == browser.runs(CUT) == [], (wide, language)
        tells("off", "")
        board.until(lambda page: "nobody" in tile(page, "slip"))
    tells("off", "", '[["7"]]')
    page = board.until(lambda page: "cannot go on reading: TypeError" in page)
    assert 'class="fault old"' in page
    tells("off", "")
    board.until(lambda page: "cannot go on" not in page)


def test_the_pages_of_the_office_are_those_of_the_command(
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


def test_what_no_press_has_taken_of_a_shared_order_is_not_forgotten(
    board: Board, postgres: Postgres
) -> None:
    with postgres.sql(name="board") as owner:
        owner.execute(
            "INSERT INTO shop.batches (job, batch, garments) VALUES "
            """('raft', 2, '[["91", "44", "AM", "x", ""], ["92", "45", "AM", "x", ""]]')"""
        )
        try:
            sheet = words_of(board.get("/sheet?job=raft").text)
            assert "6 of 6 garments are open" in sheet
            assert "91 44 AM open" in sheet
            assert "0 of 6" in words_of(board.get("/jobs").text)
            with postgres.sql("wharf", "board") as station:
                station.execute("UPDATE shop.records SET sent = now()")
            board.until(lambda page: "Raft Club 0 of 6" in words_of(page))
        finally:
            owner.execute("DELETE FROM shop.batches")


def test_spanish_is_chosen_once(board: Board) -> None:
    answer = board.get("/jobs?language=es")
    assert 'lang="es"' in answer.text
    cookie = answer.headers["set-cookie"].split(";")[0]
    assert "sin operador" in board.get("/wall", Cookie=cookie).text
    assert "nobody signed on" in board.get("/wall", Cookie="language=xx").text


def linked(page: str) -> set[str]:
    return {unescape(each) for each in re.findall(r'(?:href|src)="([^"#]*)"', page)}


def test_no_name_of_a_player_is_on_any_page_or_in_a_dump_of_the_server(
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
    with served(Shop(postgres.at("owner", "named"))) as board:
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


SPILLS = """(() => {
  const wide = document.documentElement.clientWidth;
  return [...document.querySelectorAll('body *:not(caption)')].filter(e => {
    const box = e.getBoundingClientRect();
    return box.width && (box.right > wide + 1 || box.left < -1);
  }).map(e => e.outerHTML.slice(0, 90));
})()"""
CUT = """[...document.querySelectorAll(['.tile header *', '.tile .word', '.tile .number',
    '.tile .time', '.rack li', '.tile .finish'].join())].filter(e => {
  const tile = e.closest('.tile').getBoundingClientRect(), box = e.getBoundingClientRect();
  return e.scrollWidth > e.clientWidth + 1 && e.clientWidth || box.bottom > tile.bottom + 1
    || box.right > tile.right + 1; }).map(e => e.outerHTML.slice(0, 90))"""


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("needs a chromium")
    found = Browser(tmp_path_factory.mktemp("browser"))
    yield found
    found.close()


def test_in_a_browser_nothing_is_cut_off_and_what_happens_comes_by_itself(
    board: Board, postgres: Postgres, stations: dict[str, Wired], browser: Browser
) -> None:
    url = f"http://127.0.0.1:{board.port}"
    for wide in (390, 800, 1280):
        for page in PAGES[1:7] if wide == 390 else ("/wall", "/desk"):
            if page == "/wall/live":
                continue
            browser.opens(f"{url}{page}", wide, 900)
            assert browser.runs(SPILLS) == [], (page, wide)
    browser.opens(f"{url}/wall?language=es", 1920, 1080)
    assert browser.runs(SPILLS) == browser.runs(CUT) == []
    assert browser.runs("document.documentElement.scrollHeight") == 1080
    time = "getComputedStyle(document.querySelector('.dark .time, .over .time'))"
    assert (
        browser.runs(f"parseFloat({time}.fontSize)") >= 100
    )  # pixels of 1080: a tenth of a wall's height
    before = browser.runs("document.querySelector('.over .time').innerText")
    browser.until(f"document.querySelector('.over .time').innerText != {json.dumps(before)}")
    stations["wharf"].do(c.PressOpened())
    stations["wharf"].ship(postgres.at("wharf", "board"))
    browser.until("!document.querySelector('.tile.over')")
    assert browser.runs("performance.getEntriesByType('navigation').length") == 1


def test_seconds_are_told_alike_on_the_page_and_by_its_script() -> None:
    script = (ROOT / "kiosk" / "office" / "html" / "live.js").read_text("utf-8")
    assert [told(s, c) for s, c in ((47.2, "down"), (4.9, "over"), (99.9, "up"), (100, "up"),
                                    (19.5, "clock"), (7500, "up"))] == [
        "48", "+4", "99", "1:40", "0:20", "2:05 h"
    ]  # fmt: skip
    assert "innerHTML = event.data" in script


def _is_lost_and_found(browser: Browser, serves: subprocess.Popen[str]) -> None:
    browser.until("!!document.querySelector('.tile') && document.readyState == 'complete'")
    serves.send_signal(signal.SIGSTOP)
    browser.runs(f"{LATER}(35000)")
    assert browser.runs(f"new Promise(then => setTimeout(() => then({LOST}), 250))")
    browser.runs(f"{LATER}(41000)")
    browser.until(f"!{LOST}")
    serves.send_signal(signal.SIGCONT)
    browser.runs(f"{LATER}(10000)")
    browser.until(LOST)


LATER = """(ms => { const now = performance.now.bind(performance);
  performance.now = () => now() + ms; })"""
LOST = "document.getElementById('lost').hidden"


def test_the_command_serves_one_record_until_it_is_ended(tmp_path: Path, browser: Browser) -> None:
    """A board that stands still with its line open: the wall says so, and comes back by itself."""
    station = Wired(tmp_path / "alone.sqlite3")
    station.begins("ferry", "Ferry order, harbour night relay", 3)
    token = tmp_path / "token"
    command = [sys.executable, "-m", "kiosk", "board", "--log", str(station.path), "--port", "0",
               "--host", "0.0.0.0", "--token-file", str(token)]  # fmt: skip
    kept = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True, "cwd": ROOT}
    with subprocess.Popen(command, **kept) as serves:  # type: ignore[call-overload]
        assert serves.stdout is not None
        found = re.search(r"http://[\w.-]+:(\d+)/\?token=([\w-]{43})", serves.stdout.readline())
        assert found
        assert found[2] == token.read_text("ascii").strip()
        board = Board(int(found[1]))
        assert board.get("/wall").status == 403
        board.until(lambda page: "Ferry order" in page, Cookie=f"token={found[2]}")
        at = f"http://127.0.0.1:{found[1]}"
        browser.opens(f"{at}/wall?token={found[2]}", 1280, 800)
        try:
            title = "document.querySelector('.jobs a')"
            for wide in (390, 1280):
                browser.opens(f"{at}/wall", wide, 800)
                assert browser.runs(f"{title}.scrollWidth - {title}.clientWidth") <= 1, wide
            _is_lost_and_found(browser, serves)
        except BaseException:
            serves.kill()
            raise
        with board.told(Cookie=f"token={found[2]}") as walls:
            next(walls)
            serves.send_signal(signal.SIGINT)
            list(walls)  # it ends, and nothing is said of it
        assert serves.wait(20) in (0, INTERRUPTED)
        assert serves.stderr.read() == ""
    said = kiosk("board", "--log", str(tmp_path / "none"), "--port", "0")
    assert (said.code, said.out) == (1, "")
    assert "none" in said.err
    station.recorder.close()


def test_two_tablets_that_sign_in_as_one_station_are_told(
    postgres: Postgres, place: Database, stations: dict[str, Wired], tmp_path: Path
) -> None:
    """A copied ~/.pg_service.conf: one tile would show now the one, now the other."""
    other, board = Wired(tmp_path / "copied.sqlite3"), following.Board()
    other.do(c.Start("0.1.0"))
    with Shop(place).watched() as watch:
        for nth, tablet in enumerate((stations["slip"], other, stations["slip"])):
            tablet.do(c.SignOn("QVWX"[nth], Confirm.GROUPED))
            tablet.ship(postgres.at("slip", "board"))
            with watch.looks(watch.wait(20.0)) as looks:
                for look in looks:
                    board.see(look)
            fault = board.wall().fault
            assert (fault is not None) is (nth == 2), nth  # a new tablet in place of a broken one
    assert fault is not None
    assert "slip" in Words().say(fault)
    assert not board.wall().old  # the others' tiles are as true as ever
    other.recorder.close()
