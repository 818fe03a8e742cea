"""The board in a browser: nothing is cut off, times run on, a lost connection is shown."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys
from itertools import product
from pathlib import Path

from board_stage import CUT, FAINT, PAGES, SPILLS, STATIONS, Board, Browser, Wired, tile
from command_line import ROOT, kiosk
from shop_server import Postgres

from kiosk.commands import INTERRUPTED
from kiosk.office.pages import clock_text
from kiosk.run.state import commands as c


def test_a_station_with_a_newer_program_leaves_the_others_on_the_wall(
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


def test_in_a_browser_nothing_is_cut_off_and_changes_appear_by_themselves(
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


SEEN = """[...document.querySelectorAll('.rack')].filter(e => e.children.length > 2).map(e =>
  [...e.children].filter(chip => chip.getBoundingClientRect().bottom
    <= e.getBoundingClientRect().bottom + 1).map(chip => chip.innerText.trim()))[0]"""


def test_a_full_rack_shows_whole_chips_the_next_to_serve_first_and_how_many_there_are(
    board: Board, postgres: Postgres, browser: Browser
) -> None:
    """Four cold chips once ran over their frames at every size."""
    with postgres.sql("quay", "board") as station:
        ((was, wall),) = station.execute("SELECT rack, wall FROM shop.now").fetchall()
    last = [["5", "hot", wall - 90, wall - 90, wall - 90, None, True]]
    plain = [[str(n), "cold", wall + n, wall + n, wall + n, None, False] for n in (900, 800, 700)]
    ranges = [[str(n), "warm", wall + n, wall + n + 900, wall + n, None, True] for n in (900, 800)]

    def cools(rack: str, count: str) -> None:
        with postgres.sql("quay", "board") as station:
            station.execute("UPDATE shop.now SET rack = %s", [rack])
            station.execute("UPDATE shop.records SET sent = now()")
        board.until(lambda page: count in page)

    try:
        for rack in (plain, plain + last, ranges + last, ranges + plain):
            cools(json.dumps(rack), f"rack: {len(rack)}")
            first = min(rack, key=lambda each: each[4])[0]
            for wide, language in product((375, 800, 1280, 1920), ("en", "es")):
                browser.opens(f"http://127.0.0.1:{board.port}/wall?language={language}", wide, 1000)
                assert browser.runs(SPILLS) == browser.runs(CUT) == [], (wide, language)
                count, *chips = browser.runs(SEEN)
                assert count.endswith(f": {len(rack)}")
                assert chips[0].split()[0] == first
                assert len(chips) >= (2 if rack == plain or wide == 375 else 1), (wide, chips)
    finally:
        cools(was, "")


def test_every_page_is_readable_in_dark_mode_too(board: Board, browser: Browser) -> None:
    grounds = set()
    try:
        for scheme, page in product(("light", "dark"), ("/wall", "/desk", *PAGES[4:7])):
            wish = {"name": "prefers-color-scheme", "value": scheme}
            browser.ask("Emulation.setEmulatedMedia", features=[wish])
            browser.opens(f"http://127.0.0.1:{board.port}{page}", 1280, 720)
            assert browser.runs(FAINT) == [], (scheme, page)
            grounds.add(browser.runs("getComputedStyle(document.body).backgroundColor"))
    finally:
        browser.ask("Emulation.setEmulatedMedia", features=[])
    assert len(grounds) == 3  # night of the wall, paper, and paper by night


def test_grey_text_on_the_wall_is_readable_across_a_room(board: Board, browser: Browser) -> None:
    """7:1, as WCAG 2.1 requires in 1.4.6: a station without an operator once had 6.2."""
    browser.opens(f"http://127.0.0.1:{board.port}/wall", 1280, 720)
    assert browser.runs(FAINT.replace("< 4.5", "< 7")) == []


def test_the_keyboard_focus_stays_in_place_as_the_wall_changes(
    board: Board, postgres: Postgres, stations: dict[str, Wired], browser: Browser
) -> None:
    browser.opens(f"http://127.0.0.1:{board.port}/wall", 1280, 720)
    browser.until("!!document.querySelector('.jobs a')")
    browser.runs("document.querySelector('.jobs a').focus(), window.was = document.activeElement")
    stations["quay"].do(c.PutOnHold("phone"))
    stations["quay"].ship(postgres.at("quay", "board"))
    browser.until("!window.was.isConnected")
    assert browser.runs("document.activeElement.href == window.was.href")
    stations["quay"].forward()


def test_the_page_and_its_script_write_seconds_alike() -> None:
    script = (ROOT / "kiosk" / "office" / "html" / "live.js").read_text("utf-8")
    assert [clock_text(s, c) for s, c in ((47.2, "down"), (4.9, "over"), (99.9, "up"), (100, "up"),
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
    serves.send_signal(signal.SIGSTOP)
    browser.runs(SLEPT)
    browser.until(f"!{LOST}")
    serves.send_signal(signal.SIGCONT)
    browser.runs(f"{LATER}(10000)")
    browser.until(LOST)


SLEPT = """{ const now = performance.now(); performance.now = () => now; // as in a sleeping machine
  const hour = Date.now.bind(Date); Date.now = () => hour() + 7200000; }"""


LATER = """(ms => { const now = performance.now.bind(performance);
  performance.now = () => now() + ms; })"""


LOST = "document.getElementById('lost').hidden"


def test_the_command_serves_one_record_until_it_is_stopped(
    tmp_path: Path, browser: Browser
) -> None:
    """If the server hangs with its connection open, the wall says so, and recovers by itself."""
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
            browser.opens(f"{at}/wall", 800, 1200)  # an upright screen: it is filled
            whole = "document.querySelector('.tile').getBoundingClientRect()"
            assert browser.runs(f"{whole}.width") > 700
            assert browser.runs(f"{whole}.height") > 700
            _is_lost_and_found(browser, serves)
        except BaseException:
            serves.kill()
            raise
        with board.told(Cookie=f"token={found[2]}") as walls:
            next(walls)
            serves.send_signal(signal.SIGINT)
            list(walls)  # it ends without a message
        assert serves.wait(20) in (0, INTERRUPTED)
        assert serves.stderr.read() == ""
    said = kiosk("board", "--log", str(tmp_path / "none"), "--port", "0")
    assert (said.code, said.out) == (1, "")
    assert "none" in said.err
    station.recorder.close()
