"""The shift's report at the station: a hard week's report fits on every screen."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

import pytest
from station_audit import clipped, faint, height_kept, overlapping, too_small
from station_driver import ROOT
from station_harness import Bench
from station_tour import SIZES, TONGUES, Glass, Stop

from kiosk.log.facts.shifts import shifts
from kiosk.log.store.store import Store
from kiosk.report.content import EMPTY, Report
from kiosk.report.report import build
from kiosk.station.demo.play import WindowSize
from kiosk.station.desk.sheet import Button, Sheet, TablePicture
from kiosk.station.desk.shift.report import choice, counts_line, in_order
from kiosk.station.desk.shift.report_data import moments, read
from kiosk.station.desk.shift.shift_choice import choose
from kiosk.station.desk.shift.subject import pictures, sheet_of
from kiosk.station.glass.boxes import Box, Scale
from kiosk.station.glass.type import CAPITAL
from kiosk.station.glass.widgets.charts import ReportTable
from kiosk.station.glass.widgets.text import Text
from kiosk.words import Words

sys.path.insert(0, str(ROOT / "tests" / "report"))
from week_stories import hard, make_week

JOB = ("good", "accepted", "rework", "scrap", "still_open")
KEPT = {7.0: 0.75, 10.1: 0.9, 13.3: 0.9}


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    logs: tuple[Path, ...] = make_week(tmp_path_factory.mktemp("week"), hard)
    with ExitStack() as stack:
        stores = [stack.enter_context(Store.read_only(log)) for log in logs]
        for store in stores:
            stack.enter_context(store.reading())
        chosen = choose([shifts(store) for store in stores], "week")
        assert chosen is not None
        return build(read(stores, chosen, 8 * 3600.0), *moments(chosen.reported))


def sheets(report: Report, words: Words) -> Iterator[tuple[str, Sheet]]:
    go_on = Button(words("page.report_next"), lambda: None)
    back = Button(words("page.back"), lambda: None)
    for topic in report.topics:
        for nth in range(max(1, len(pictures(topic, words)))):
            yield f"{topic.section.id} {nth}", sheet_of(topic, nth, words, go_on, back)


def wrong_with(
    look: WindowSize, tongue: str, name: str, sheet: Sheet, bench: Bench
) -> Iterator[str]:
    shown: Mapping[str, Sheet] = dict.fromkeys(TONGUES, sheet)
    glass = Glass(Stop(name, sheets=shown), look, tongue)
    bench.show(glass)
    faults = [*too_small(glass), *clipped(glass), *overlapping(glass)]
    faults += faint(glass, bench.pixels())
    if height_kept(glass) < KEPT[look.inches] * (0.8 if tongue == "long" else 1.0):
        faults.append(f"letters kept {height_kept(glass):.2f}")
    yield from (f"{name}: {fault}" for fault in faults)
    bench.clear()


@pytest.mark.parametrize("look", SIZES[:4], ids=lambda look: look.name)
@pytest.mark.parametrize("tongue", ["en", "es"])
def test_every_table_and_chart_of_a_hard_week_fits(
    bench: Bench, report: Report, look: WindowSize, tongue: str
) -> None:
    bench.resize(look.width, look.height)
    words = TONGUES[tongue]()
    found = [
        fault
        for name, sheet in sheets(report, words)
        for fault in wrong_with(look, tongue, name, sheet, bench)
    ]
    bench.resize(1280, 800)
    assert found == []


def test_accepted_garments_and_rework_are_counted_too() -> None:
    """Two jobs: 3 + 4 good, 1 accepted, 2 for rework, 1 + 0 scrap, 5 + 6 open."""
    jobs = [dict(zip(JOB, n, strict=True)) for n in ((3, 1, 0, 1, 5), (4, 0, 2, 0, 6))]
    told = "7 good · 1 accepted · 1 scrap · 13 open"
    assert counts_line(jobs, Words("en")).replace("\u00a0", " ") == told
    plain = [dict(zip(JOB, (3, 0, 0, 1, 5), strict=True))]
    assert counts_line(plain, Words("en")).replace("\u00a0", " ") == "3 good · 1 scrap · 5 open"
    assert counts_line([], Words("en")) == ""


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_all_twelve_answers_fit_on_one_page_from_10_inches_up(
    bench: Bench, report: Report, tongue: str
) -> None:
    words = TONGUES[tongue]()
    topics = in_order(report)
    page = Sheet(
        title=words.say(report.title),
        headline=counts_line([dict(zip(JOB, (412, 12, 6, 12, 106), strict=True))], words),
        second=words("page.report_pace", made=412, count=44),
        choices=tuple(choice(topic, words, lambda: None) for topic in topics),
        main=Button(words("page.report_next"), lambda: None),
        left=Button(words("page.back"), lambda: None),
    )
    for look in SIZES[2:]:
        assert_twelve(bench, page, look, tongue)
    bench.resize(1280, 800)


def assert_twelve(bench: Bench, page: Sheet, look: WindowSize, tongue: str) -> None:
    bench.resize(look.width, look.height)
    glass = Glass(Stop("questions", sheets=dict.fromkeys(TONGUES, page)), look, tongue)
    bench.show(glass)
    assert glass.sheet is not None
    shown = [button.label for button in glass.sheet.buttons]
    assert shown[:12] == [button.label for button in page.choices[:12]], (look.name, page.second)
    assert [*too_small(glass), *clipped(glass)] == []
    bench.clear()


def test_a_changed_status_beside_the_title_keeps_the_page_turned(
    bench: Bench, report: Report
) -> None:
    words = Words("en")
    topics = in_order(report)
    choices = tuple(choice(topic, words, lambda: None) for topic in topics)
    page = Sheet(title="Shift 7", status="12 events to send", choices=choices)
    glass = Glass(Stop("status", sheets=dict.fromkeys(TONGUES, page)), SIZES[2], "en")
    bench.show(glass)
    assert glass.sheet is not None
    glass.sheet._turn_to(12)
    since, labels = glass.sheet._since, [button.label for button in glass.sheet.buttons]
    bench.pass_time(2.0)
    glass.sheet.turn(replace(page, status="13 events to send"))
    assert [button.label for button in glass.sheet.buttons] == labels
    assert glass.sheet._since == since  # a touch is not taken for one meant for another page
    written = [child.text for child in glass.sheet.children if isinstance(child, Text)]
    assert "Shift 7 · 13 events to send" in written
    glass.sheet.turn(replace(page, title="Shift 8"))
    assert [button.label for button in glass.sheet.buttons] != labels
    bench.clear()


def test_a_short_table_is_written_as_large_as_fits(bench: Bench) -> None:
    scale = Scale((1280, 800), 10.1)
    box = Box(0, 0, 1000, 500)
    few, many = (TablePicture(("defect", "count"), (("wrong size", "2"),) * n) for n in (1, 30))
    letters = [
        ReportTable(box, scale, each).children[0].fitted.em * CAPITAL for each in (few, many)
    ]
    assert letters[0] == pytest.approx(scale.line, abs=1)
    assert letters[1] == pytest.approx(scale.small, abs=1)


def test_a_row_written_as_a_sentence_leaves_out_empty_cells(bench: Bench) -> None:
    row = ("08:22", "final press", "12 s", EMPTY, "opened: not seen")
    picture = TablePicture(("when", "phase", "set", "over", "known"), (row,))
    narrow = ReportTable(Box(0, 0, 300, 500), Scale((600, 1024), 7.0), picture)
    (paragraph,) = [child.text for child in narrow.children if isinstance(child, Text)]
    told = "08:22: phase\xa0final press · set\xa012 s · known\xa0opened: not seen"
    assert paragraph == told  # a head stays beside its cell


def test_a_table_comes_before_its_chart(report: Report) -> None:
    words = Words("en")
    for topic in report.topics:
        kinds = [type(each).__name__ for each in pictures(topic, words)]
        assert kinds == sorted(kinds, reverse=True)  # TablePicture, ChartPicture


def test_answers_that_need_attention_come_first(report: Report) -> None:
    asked = [topic for topic in in_order(report) if topic.question]
    assert len(asked) == 12
    exceptions = [topic.exception for topic in asked]
    assert exceptions == sorted(exceptions, reverse=True)
    assert any(exceptions)
    told = [Words("en").say(topic.answer[0]) for topic in asked if topic.exception]
    assert not [each for each in told if each.startswith(("No", "None", "Nothing", "Nobody"))]


@pytest.mark.parametrize("tongue", ["en", "es"])
def test_in_brief_a_shopping_list_is_never_cut_short(report: Report, tongue: str) -> None:
    """The hard week scrapped a number in two colours: if one is shown, the other is not bought."""
    (topic,) = [topic for topic in report.topics if topic.question == "buy"]
    words = Words(tongue)
    assert words.say(topic.answer[0]).count("×") == 4
    assert "×" not in choice(topic, words, lambda: None).line
