"""No key of a file or record appears where people read: the report, its tables, a card."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from html import unescape

import pytest
from report_samples import at, facts, finished, good, noted, plan, ticket

from kiosk.log.facts.facts import JobStart
from kiosk.log.facts.garment_story import GarmentStory
from kiosk.log.store.codec import KIND_OF
from kiosk.report.card import StationRecord, card
from kiosk.report.content import Report
from kiosk.report.page import to_html
from kiosk.report.period import Period
from kiosk.report.report import ReportRequest, build
from kiosk.report.tables import tables_to_csv, to_text
from kiosk.run.decide.job import RULINGS
from kiosk.run.facts.checks import article_of
from kiosk.run.state.defects import CAUSES, DEFECT_IDS
from kiosk.run.state.event import Event
from kiosk.run.state.events import SetAside, Skipped, Stopped
from kiosk.run.state.events_shift import (
    FirstArticleJudged,
    Overridden,
    Overruled,
    RepressAllowed,
    Ruled,
    TrialJudged,
)
from kiosk.run.state.events_station import HandedOver
from kiosk.run.state.model import TicketStage
from kiosk.run.state.reasons import ASIDE_REASONS, OVERRIDE_REASONS, RULING_REASONS, SKIP_REASONS
from kiosk.station.desk.shift.handover import NOTES
from kiosk.words import Words

LANGUAGES = [Words("en"), Words("es")]
KEY = re.compile(r"[^\W\d_]+_\w+|repress-allowed|row changed|\b[1-9]/[1-9]/[1-9]\b")
RAW = ("ruled", "overridden", "waiting", "scrap limit", "medium to", "changed")
ENGLISH = re.compile(rf"\b({'|'.join((*RAW, *RULING_REASONS, *OVERRIDE_REASONS))})\b")
"""Recorded decisions, settings and reasons: words that no other Spanish sentence contains."""
ARTICLE = article_of(plan(), plan().passes[0])


def about(what: Overruled) -> str:
    """Return what an override is about, as `kiosk.run.decide.checks` writes it."""
    if what in (Overruled.FIRST_ARTICLE, Overruled.TRIAL):
        return ARTICLE
    return "laid_wrong" if what is Overruled.SCRAP_LIMIT else "press-one"


def events() -> Iterator[Event]:
    """Return all that a supervisor, an operator and a card can record, with every reason."""
    for what in Overruled:
        for why in OVERRIDE_REASONS:
            yield Overridden(at(), what, about(what), "WX", why)
    for why in RULING_REASONS:
        yield RepressAllowed(at(), "1/1/1", "WX", why)
        for stage in sorted(RULINGS, key=lambda each: each.value):
            yield Ruled(at(), "1/1/1", stage, "WX", why)
    yield from (SetAside(at(), "1/1/1", why) for why in ASIDE_REASONS)
    yield from (Skipped(at(), "1/1/1", 1, why) for why in SKIP_REASONS)
    yield Stopped(at(), "1/1/1", "row changed", "digest")
    for nth, defect in enumerate(sorted(DEFECT_IDS)):
        for cause in sorted(CAUSES):
            yield finished(str(nth), TicketStage.ACCEPTED, defect, cause, "number.2")
    faults = tuple(sorted(DEFECT_IDS))
    yield FirstArticleJudged(at(), "1/1/1", ARTICLE, False, "WX", "QV", faults=faults)
    yield FirstArticleJudged(at(), "1/1/1", ARTICLE, True, "QV", "QV")
    yield TrialJudged(at(), "ferry", (ARTICLE, ARTICLE), (), False, "QV", (*faults, "peel"))
    yield HandedOver(at(), "QV", "AK", notes=NOTES)


def shift() -> Report:
    period = Period((facts(noted=noted(*events()), garments=(good(30),)),))
    return build(ReportRequest(period, period, period, people=True), "08:00", "16:00")


def complaint() -> Report:
    """Return the card of a garment with every kind of ruling."""
    kinds = [f"ruled {stage.value}" for stage in sorted(RULINGS, key=lambda each: each.value)]
    kinds += [f"overridden {what.value}" for what in Overruled]
    kinds += [KIND_OF[RepressAllowed]]
    whys = [*RULING_REASONS, *OVERRIDE_REASONS]
    rulings = tuple(
        (kinds[nth % len(kinds)], "WX", whys[nth % len(whys)])
        for nth in range(len(kinds) * len(whys))
    )
    of = ticket(stage=TicketStage.ACCEPTED, defect="off_centre", cause="laid_wrong")
    return card(
        [StationRecord("north", GarmentStory("1", JobStart(plan()), (of,), (), rulings))],
        lambda wall: "08:00",
    )


def read(report: Report, words: Words) -> str:
    """Return all that a person reads in a report: the page, the text, the cells of the tables."""
    page = unescape(
        re.sub(r"<style.*?</style>|<[^>]*>", " ", to_html(report, words.say), flags=re.S)
    )
    rows = csv.reader(io.StringIO(tables_to_csv(report, words.say), newline=""))
    cells = [cell for row in list(rows)[1:] for cell in row[2:]]  # the first two are for programs
    return "\n".join((page, to_text(report, words.say), *cells))


@pytest.mark.parametrize("words", LANGUAGES, ids=lambda each: each.language)
@pytest.mark.parametrize("report", [shift(), complaint()], ids=["report", "card"])
def test_no_key_of_the_record_is_shown_to_a_reader(report: Report, words: Words) -> None:
    text = read(report, words)
    assert not set(KEY.findall(text))
    if words.language == "es":
        assert not set(ENGLISH.findall(text))
