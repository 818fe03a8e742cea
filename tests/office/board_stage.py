"""A board served on loopback, stations on this machine's wall clock, and a browser."""

from __future__ import annotations

import http.client
import json
import os
import re
import shutil
import subprocess
import threading
import time
from base64 import b64decode
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from html import unescape
from pathlib import Path
from typing import Any

from log_samples import garments, plan
from log_station import Station

from kiosk.catalog.model import Database
from kiosk.log.store import Store
from kiosk.office import BoardSource, Door, listening, server
from kiosk.run.state import ConfirmMode
from kiosk.run.state import commands as c
from kiosk.run.state.rules import NO_RULES, Rules
from kiosk.shop import Sender, connect

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE = 120.0  # tests wait for events; after this long an event will never come


class Wired(Station):
    """A station with its own job, whose record is sent by its own made-up clock."""

    def ship(self, database: Database, since: float = 0.0) -> int:
        """Send the new events, `since` seconds after the last one."""
        wall = self.now.wall + since
        with Store.read_only(self.path) as store, connect(database) as shop:
            return Sender(store, shop, clock=lambda: wall).send().last

    def begins(
        self, job: str, title: str, count: int, due: str = "", by_hand: bool = False,
        rules: Rules = NO_RULES,
    ) -> None:  # fmt: skip
        """Start, sign on, take a job, answer what is asked."""
        self.do(c.Start("0.1.0"))
        self.do(c.SignOn("QV", ConfirmMode.GROUPED))
        of = replace(plan(title=title), opens_itself=not by_hand, confirm_opening=by_hand)
        self.do(c.StartJob(job, of, "hash", garments(count), rules=rules, due=due))
        self.do(c.Tick())
        self.do(c.ReadSetting(300))
        self.answer()

    def close(self) -> None:
        """Close the press for the next closing."""
        while self.recorder.state.heat is None:
            self.answer()
            assert self.forward().refusal is None


@dataclass(frozen=True)
class Answer:
    status: int
    headers: Mapping[str, str]
    text: str


class Board:
    """A board being served; `get` requests a page as a browser would."""

    def __init__(self, port: int) -> None:
        self.port = port

    def get(self, path: str, method: str = "GET", **headers: str) -> Answer:
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            line.request(method, path, headers=headers)
            answer = line.getresponse()
            told = {name.lower(): value for name, value in answer.getheaders()}
            return Answer(answer.status, told, answer.read().decode())
        finally:
            line.close()

    def until(self, true: Callable[[str], bool], path: str = "/wall", **headers: str) -> str:
        """Request a page until the condition holds; return the page."""
        ends = time.monotonic() + PATIENCE
        while not true(page := self.get(path, **headers).text):
            assert time.monotonic() < ends, page
            time.sleep(0.02)
        return page

    @contextmanager
    def told(self, **headers: str) -> Iterator[Iterator[str]]:
        """Yield the live stream: the wall at each update."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        line.request("GET", "/wall/live", headers=headers)
        answer = line.getresponse()
        try:
            yield _messages(answer)
        finally:
            line.close()


def words_of(page: str) -> str:
    """Return the text of a page, with a space between pieces."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())


def _messages(answer: http.client.HTTPResponse) -> Iterator[str]:
    told: list[str] = []
    ends = time.monotonic() + PATIENCE
    while line := answer.readline().decode():
        if line.startswith("data: "):
            told.append(line[6:])
        elif told:
            yield "".join(told)
            told.clear()
            ends = time.monotonic() + PATIENCE
        assert time.monotonic() < ends, "nothing is told"


@contextmanager
def served(
    place: BoardSource,
    door: Door = Door(),  # noqa: B008 - a frozen value
    language: str = "en",
    clock: Callable[[], float] = time.monotonic,
) -> Iterator[Board]:
    """Serve a board on loopback during the block."""
    serves = server(place, door, language, clock)
    with listening("127.0.0.1", 0) as at:
        thread = threading.Thread(target=serves.run, args=([at],))
        thread.start()
        try:
            while not serves.started:
                assert thread.is_alive()
                time.sleep(0.005)
            yield Board(at.getsockname()[1])
        finally:
            serves.should_exit = True
            thread.join(PATIENCE)
            assert not serves.server_state.tasks
            assert not thread.is_alive()


class Browser:
    """A real Chromium with one page, controlled over its own pipe."""

    QUIET = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--hide-scrollbars", "--remote-debugging-pipe")  # fmt: skip

    def __init__(self, own: Path) -> None:
        reads, says = os.pipe()
        hears, writes = os.pipe()
        command = [CHROMIUM or "", *self.QUIET, f"--user-data-dir={own}", "about:blank"]
        self._process = subprocess.Popen(
            ["bash", "-c", f'exec "$@" 3<&{reads} 4>&{writes}', "sh", *command],
            pass_fds=(reads, writes), stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(reads)
        os.close(writes)
        self._says, self._hears = os.fdopen(says, "wb", 0), os.fdopen(hears, "rb")
        self._session: dict[str, str] = {}
        pages = self.ask("Target.getTargets")["targetInfos"]
        page = next(each["targetId"] for each in pages if each["type"] == "page")
        attached = self.ask("Target.attachToTarget", targetId=page, flatten=True)
        self._session = {"sessionId": attached["sessionId"]}

    def ask(self, method: str, **asked: Any) -> dict[str, Any]:
        self._says.write(json.dumps({"id": 1, "method": method, "params": asked,
                                     **self._session}).encode() + b"\0")  # fmt: skip
        while True:
            told = bytearray()
            while (byte := self._hears.read(1)) not in (b"\0", b""):
                told += byte
            assert told, "the browser is gone"
            answer = json.loads(told)
            if answer.get("id") == 1:
                assert "error" not in answer, answer
                found: dict[str, Any] = answer["result"]
                return found

    def runs(self, script: str) -> Any:
        asked = {"expression": script, "returnByValue": True, "awaitPromise": True}
        done = self.ask("Runtime.evaluate", **asked)
        assert "exceptionDetails" not in done, done
        return done["result"].get("value")

    def opens(self, url: str, wide: int, high: int) -> None:
        size = {"width": wide, "height": high, "deviceScaleFactor": 1, "mobile": False}
        self.ask("Emulation.setDeviceMetricsOverride", **size)
        self.ask("Page.navigate", url=url)
        self.until("document.readyState == 'complete' && location.href != 'about:blank'")
        self.runs("document.fonts.ready.then(() => 1)")

    def until(self, script: str) -> None:
        ends = time.monotonic() + PATIENCE
        while not self.runs(script):
            assert time.monotonic() < ends, script
            time.sleep(0.02)

    def picture(self, to: Path) -> None:
        to.write_bytes(b64decode(self.ask("Page.captureScreenshot")["data"]))

    def close(self) -> None:
        self.ask("Browser.close")
        self._process.wait(PATIENCE)
        self._says.close()
        self._hears.close()


STATIONS = ("pier", "quay", "wharf", "slip")


PAGES = ("/", "/wall", "/wall/live", "/desk", "/jobs", "/card?job=harbour&garment=01",
         "/sheet?job=harbour", "/static/board.css", "/static/report.css", "/static/live.js",
         "/no-such-page")  # fmt: skip


DONE_AT = r"done \d\d:\d\d–\d\d:\d\d"  # goes on with the clock


def tile(page: str, station: str) -> str:
    """Return the text of one station's tile."""
    (found,) = re.findall(
        rf"<article[^>]*>\s*<header>\s*<h2>{station}</h2>.*?</article>", page, re.S
    )
    return words_of(found)


def look(page: str, station: str) -> str:
    (found,) = re.findall(rf'<article class="tile (\w+)">\s*<header>\s*<h2>{station}</h2>', page)
    return str(found)


def seconds(page: str, station: str) -> float:
    """Return the large time of a station's tile, in seconds."""
    part = page[page.index(f"<h2>{station}</h2>") :]
    return float(re.findall(r'class="time \w+">\s*<span[^>]*data-seconds="([^"]*)"', part)[0])


SPILLS = """(() => {
  const wide = document.documentElement.clientWidth;
  return [...document.querySelectorAll('body *:not(caption)')].filter(e => {
    const box = e.getBoundingClientRect();
    return box.width && (box.right > wide + 1 || box.left < -1);
  }).map(e => e.outerHTML.slice(0, 90));
})()"""


CUT = """[...document.querySelectorAll(['.tile header *', '.tile .word', '.tile .number',
    '.tile .time', '.rack li', '.rack b', '.rack .due', '.tile .finish'].join())].filter(e => {
  const tile = e.closest('.tile').getBoundingClientRect(), box = e.getBoundingClientRect();
  const rack = e.closest('.rack')?.getBoundingClientRect();
  if (rack && box.top >= rack.bottom) return false;  // not seen at all, and counted
  return e.scrollWidth > e.clientWidth + 1 && e.clientWidth || box.bottom > tile.bottom + 1
    || box.right > tile.right + 1; }).map(e => e.outerHTML.slice(0, 90))"""


FAINT = """(() => {
  const parts = text => (text.match(/[0-9.]+/g) || [0, 0, 0, 0]).map(Number);
  const light = text => { const [r, g, b] = parts(text).map(v => v / 255).map(
    v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ground = e => { for (; e; e = e.parentElement) {
    const found = getComputedStyle(e).backgroundColor;
    if (parts(found)[3] !== 0) return found; } return 'rgb(255, 255, 255)'; };
  return [...document.querySelectorAll('body *')].filter(e => e.getClientRects().length
      && [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim())).filter(e => {
    const [a, b] = [light(getComputedStyle(e).color), light(ground(e))].sort((x, y) => y - x);
    return (a + 0.05) / (b + 0.05) < 4.5;
  }).map(e => e.outerHTML.slice(0, 90));
})()"""
"""Finds text with less contrast than WCAG 2.1 requires in 1.4.3, computed as defined there."""
