"""Reports in a browser: paper shows every row; a tablet held upright shows tables as tables."""

from __future__ import annotations

from pathlib import Path

from board_stage import SPILLS, Browser
from report_samples import at, facts, good, noted

from kiosk.report.page import ROWS, to_html
from kiosk.report.period import Period
from kiosk.report.report import ReportRequest, build
from kiosk.run.state.events_station import Held
from kiosk.words import Words

SHOWN = """[...document.querySelectorAll('#holds tbody tr')].filter(
  e => e.getClientRects().length && e.checkVisibility()).length"""
AS_TABLE = """['#made td', '#holds td'].every(
  e => getComputedStyle(document.querySelector(e)).display == 'table-cell')"""


def test_paper_shows_the_rows_that_a_screen_folds_away(tmp_path: Path, browser: Browser) -> None:
    """A fold cannot be opened on paper: the print had "2 more rows" in place of them."""
    page, many = tmp_path / "shift.html", ROWS + 2
    held = noted(*(Held(at(), f"reason {n}") for n in range(many)))
    about = Period((facts(noted=held, garments=(good(9),)),))
    page.write_text(
        to_html(build(ReportRequest(about, about, Period()), "", ""), Words("en").say), "utf-8"
    )
    browser.opens(page.as_uri(), 768, 1000)
    assert browser.runs(SHOWN) == ROWS
    assert browser.runs(SPILLS) == []
    try:
        browser.ask("Emulation.setEmulatedMedia", media="print")
        assert browser.runs(SHOWN) == many
        assert "more rows" not in browser.runs("document.body.innerText")
    finally:
        browser.ask("Emulation.setEmulatedMedia", media="")
    assert browser.runs(AS_TABLE)  # at 768 pixels
    browser.opens(page.as_uri(), 375, 800)
    assert not browser.runs(AS_TABLE)
