"""A press that waits for a supervisor: the wall shows why, and long names stay whole."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest
from board_stage import CHROMIUM, CUT, SPILLS, Board, Browser, Wired, served, tile
from shop_server import OWNER, Postgres

from kiosk.catalog.base import say
from kiosk.catalog.model import Demand
from kiosk.run.state import MeetClaims, TicketStage
from kiosk.run.state import commands as c
from kiosk.run.state.commands_shift import OtherStation
from kiosk.run.state.rules import NO_RULES, Rules
from kiosk.shop import ServerBoardSource

TITLE = "Harbour Lanterns and Friends of the Old Ferry, away set"
NAMES = PLAN, MET, FIRST, SCRAPS, LONG = *(f"held-{n}" for n in range(1, 5)), "press-by-the-window"
RULES = {FIRST: Rules(first_article=Demand.ASKED), SCRAPS: Rules(scrap_limit=1)}
ENDS = {
    FIRST: c.Inspect("1/1/1", TicketStage.GOOD),
    SCRAPS: c.Inspect("1/1/1", TicketStage.SCRAP, "scorch", "over_run"),
}
SHORTENED = """[...document.querySelectorAll('.tile h2, .tile p, .jobs a')].filter(e =>
    e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 3)
    .map(e => e.outerHTML)"""


@pytest.fixture(scope="module")
def board(postgres: Postgres, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Board]:
    """Four stations are held for different reasons; one has a long name."""
    postgres.made("held", *NAMES)
    folder = tmp_path_factory.mktemp("held")
    other = say("plan.apart.files", files=("materials.yaml",))
    others = {
        PLAN: OtherStation(MET, 7, blocks=True, differs=(other,)),
        MET: OtherStation(PLAN, lines=("1",)),
    }
    for name in NAMES:
        station = Wired(folder / f"{name}.sqlite3")
        station.begins("harbour", TITLE, 18, due="2026-02-01", rules=RULES.get(name, NO_RULES))
        if name in others:
            station.do(MeetClaims("harbour", (others[name],)))
        elif name in RULES:
            station.press_to_rack()
            station.do(ENDS[name], after=30.0)
            if name == SCRAPS:  # the garment at the press by then is pressed
                station.press_to_rack()
                station.do(c.Inspect("2/1/1", TicketStage.GOOD), after=30.0)
        station.ship(postgres.at(name, "held"))
        station.recorder.close()
    with served(ServerBoardSource(postgres.at(OWNER, "held"))) as found:
        found.until(lambda page: all(f"<h2>{name}</h2>" in page for name in NAMES))
        yield found
    postgres.unmade("held", *NAMES)


SAID = {
    "en": ("held: two plans", "held: at two presses", "look at the first", "held: scraps"),
    "es": (
        "detenida: dos planes",
        "detenida: en dos planchas",
        "revisar la primera",
        "detenida: desechos",
    ),
}


def test_the_wall_says_what_a_held_press_waits_for(board: Board) -> None:
    for language, words in SAID.items():
        page = board.get(f"/wall?language={language}").text
        for name, word in zip(NAMES[:4], words, strict=True):
            assert word in tile(page, name)


def test_nothing_about_a_held_press_is_cut_off(board: Board, tmp_path: Path) -> None:
    if CHROMIUM is None:
        pytest.skip("needs a chromium")
    browser = Browser(tmp_path / "browser")
    try:
        for wide, language in product((375, 800, 1280), SAID):
            browser.opens(f"http://127.0.0.1:{board.port}/wall?language={language}", wide, 800)
            for wrong in (SPILLS, CUT, SHORTENED):
                assert browser.runs(wrong) == [], (wide, language)
    finally:
        browser.close()
