"""The sentences and the page of a report."""

from __future__ import annotations

from dataclasses import replace

import pytest
from report_samples import at, ticket

from kiosk.catalog.message import say
from kiosk.report.garments import garment_rows
from kiosk.report.lines import first_pass, sections
from kiosk.report.page import to_html
from kiosk.report.ratios import Share
from kiosk.report.shift import EXCEPTIONS, ShiftSummary, summarise
from kiosk.run import events as e
from kiosk.run.model import Seen, Stage
from kiosk.words import Words

WORDS = Words("en")


def made() -> ShiftSummary:
    tickets = [ticket("1"), ticket("2", Stage.SCRAP, defect="marks", cause="over_run")]
    events = [
        e.Closed(at(), "1/1/1", 0, 4, 15.0, 1.0, Seen.DECLARED),
        e.TimeUp(at(), "1/1/1", 4, 16.0),
        e.Held(at(), "x"),
    ]
    return summarise(1, ("QV",), "lanterns", events, garment_rows(tickets))


@pytest.mark.parametrize(("whole", "shown"), [(19, None), (20, 0.9)])
def test_a_rate_is_hidden_below_twenty(whole: int, shown: float | None) -> None:
    assert Share(18, whole).rate == shown


def test_the_counts_are_said_with_and_without_a_rate() -> None:
    assert WORDS.say(first_pass(Share(18, 20))) == "Good as first pressed: 18 of 20, 90 %"
    assert WORDS.say(first_pass(Share(18, 19))).startswith("Good as first pressed: 18 of 19;")
    assert "%" not in WORDS.say(first_pass(Share(18, 19)))


def test_every_exception_has_a_word() -> None:
    for key in (*EXCEPTIONS.values(), "wrong_read"):
        assert WORDS(f"exception.{key}")


def test_each_section_has_a_title_a_reading_and_rows() -> None:
    for section in sections(made()):
        assert WORDS.say(section.title)
        assert WORDS.say(section.reading)
        assert all(WORDS.say(word) and count for word, count in section.rows)


def test_declared_and_not_seen_stand_in_rows_of_their_own() -> None:
    rows = [WORDS.say(word) for section in sections(made()) for word, _ in section.rows]
    assert "closings declared" in rows
    assert "openings not seen" in rows


def test_a_section_with_nothing_to_say_is_left_out() -> None:
    quiet = replace(made(), exceptions={}, defects={})
    assert len(sections(quiet)) == len(sections(made())) - 2


def test_the_page_is_whole_and_escapes_what_people_wrote() -> None:
    page = to_html(
        say("report.title", shift="<b>1</b>"), say("report.made"), sections(made()), WORDS.say
    )
    assert page.startswith("<!doctype html>")
    assert page.rstrip().endswith("</html>")
    assert "<b>" not in page
    assert "http" not in page
