"""What a supervisor reads at closing time: no empty lines, and none that claims too much."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from report_samples import at, facts, finished, good, noted, plan

from kiosk.catalog.base import Value, say
from kiosk.log.facts.facts import (
    ClockJump,
    Facts,
    JobStart,
    PeelSeconds,
    Shift,
    ShortHeatGarment,
    StepSeconds,
    Stint,
    UncheckedGarment,
)
from kiosk.plan.model import PanelSettings
from kiosk.report.answers.checks import recheck
from kiosk.report.answers.counts import job_counts
from kiosk.report.answers.materials import peels
from kiosk.report.answers.pace import pace
from kiosk.report.answers.results import defects
from kiosk.report.answers.settings import settings
from kiosk.report.content import Report, Topic, cell_text
from kiosk.report.page import STYLE, to_html
from kiosk.report.period import Period, clock_jump_lines
from kiosk.report.report import ReportRequest, build
from kiosk.report.tables import to_text
from kiosk.run.state.event import Event
from kiosk.run.state.events_shift import RepressAllowed
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.shift.report import in_order
from kiosk.station.desk.shift.report_data import moments
from kiosk.words import Words

SAY = Words("en").say


def report(*events: Event, **known: Any) -> Report:
    known = {"garments": (good(12),), **known}
    period = Period((facts(noted=noted(*events), **known),))
    return build(ReportRequest(period, period, period), "08:00", "16:00")


def answer(topic: Topic) -> str:
    return " ".join(map(SAY, topic.answer))


def test_sections_without_events_are_left_out() -> None:
    """No first garment, no trial and no notes at a hand-over: no row of zeros."""
    quiet = report()
    for text in (to_text(quiet, SAY), to_html(quiet, SAY)):
        for title in ("First garments", "Trials of guessed settings", "Hand-overs"):
            assert title not in text
    shown = {topic.section.id for topic in in_order(quiet)}
    assert not shown & {"articles", "trials", "handovers"}


def test_below_twenty_garments_ratios_without_a_value_are_left_out() -> None:
    """Fewer than 20 of anything are counted but never given as a rate (docs/report.md)."""
    (few,) = (t for t in report().topics if t.section.id == "ratios")
    names = [cell_text(row[0], SAY) for row in few.section.table.rows]
    assert "produced quantity" in names
    assert "Quality ratio" not in names
    (many,) = (t for t in report(garments=(good(30),)).topics if t.section.id == "ratios")
    assert "Quality ratio" in [cell_text(row[0], SAY) for row in many.section.table.rows]


def test_a_narrow_screen_hides_empty_cells() -> None:
    assert "td:empty { display: none; }" in STYLE


def test_a_few_peels_are_reported_without_a_rate() -> None:
    begun = JobStart(plan())
    few, many = (
        Period(
            (
                facts(
                    jobs={"ferry": begun}, peels=(PeelSeconds(0, 0, (30.0,) * 2 + (90.0,) * n, ()),)
                ),
            )
        )
        for n in (5, 30)
    )
    assert "%" not in answer(peels(few))
    assert "2 early, 0 late of 7" in answer(peels(few))
    assert "2 early, 0 late of 32 (2–20 %;" in answer(peels(many))


def test_overrides_are_counted_as_once_or_a_number_of_times() -> None:
    once, twice = (
        report(*(RepressAllowed(at(), f"{n}/1/1", "WX", "relaid") for n in range(many)))
        for many in (1, 2)
    )
    told = [answer(t) for each in (once, twice) for t in each.topics if t.question == "overridden"]
    assert told == [
        "Once: second final press (WX: pieces laid again).",
        "2 times: second final press (WX: pieces laid again).",
    ]


def test_equally_frequent_defects_are_named_together() -> None:
    events = (
        finished("1", TicketStage.REWORK, "scorch", "over_run"),
        finished("2", TicketStage.REWORK, "marks", "over_run"),
    )
    even = defects(Period((facts(noted=noted(*events), garments=(good(12),)),)))
    assert answer(even) == "2 defects, garments: 12; most often marks, scorch, 1 each."
    more = (*events, finished("3", TicketStage.REWORK, "marks", "over_run"))
    assert answer(defects(Period((facts(noted=noted(*more)),)))).startswith(
        "Most often marks: 2 of 3 defects"
    )


def test_a_slow_step_is_shown_with_its_median_range_and_count() -> None:
    hands = (StepSeconds(0, 0, 0, 2, (200.0,) * 30),)
    told = answer(pace(Period((facts(moves=hands),)))[1])
    assert "median 200 s (200–200 s, 30 times)" in told


def shop() -> Facts:
    """Two jobs with one title, one with another, and a press that failed its check."""
    jobs = {
        name: JobStart(replace(plan(name), title=title))
        for name, title in (("a-1", "Club shirts"), ("a-2", "Club shirts"), ("b", "Course shirts"))
    }
    pulled = (
        UncheckedGarment("press-one", "a-1", "4", "44"),
        UncheckedGarment("press-one", "b", "2", "7"),
    )
    return facts(jobs=jobs, pulled=pulled)


def test_jobs_are_shown_by_title_and_jobs_with_the_same_title_by_key_too() -> None:
    period = Period((shop(),))
    built = build(ReportRequest(period, period, period), "08:00", "16:00")
    titles = "Club shirts (a-1), Club shirts (a-2), Course shirts"
    assert SAY(built.line).endswith(f"jobs: {titles}")
    made = next(t for t in built.topics if t.section.id == "made")
    assert sorted(cell_text(row[0], SAY) for row in made.section.table.rows) == titles.split(", ")
    recheck = next(t for t in built.topics if t.question == "recheck")
    assert "Club shirts (a-1): number 44, Course shirts: number 7" in answer(recheck)
    assert [row[1] for row in recheck.section.table.rows] == ["Club shirts (a-1)", "Course shirts"]


def test_an_override_names_the_garments_job_by_title() -> None:
    begun = JobStart(replace(plan(), title="Course shirts"))
    job = facts().stints[0].job
    built = report(RepressAllowed(at(), "4/1/1", "WX", "relaid"), jobs={job: begun})
    (row,) = next(t for t in built.topics if t.question == "overridden").section.table.rows
    assert cell_text(row[1], SAY) == "Course shirts, line 4"


def test_a_row_without_a_number_is_shown_by_its_line_with_a_hash() -> None:
    same = (
        UncheckedGarment("press-one", "b", "7", ""),
        UncheckedGarment("press-one", "b", "2", "7"),
    )
    marked = (ShortHeatGarment("b", "9", "", ("short",)),)
    period = Period((shop()._replace(pulled=same, marked=marked),))
    built = build(ReportRequest(period, period, period), "08:00", "16:00")
    again = next(t for t in built.topics if t.question == "recheck")
    assert "Course shirts: #7 7" in answer(again)
    cells = [row[-1] for row in again.section.table.rows]
    assert cells == ["#7, 7", "#9"]


def test_a_late_hot_peel_puts_heat_or_peel_in_doubt() -> None:
    period = Period((shop()._replace(marked=(ShortHeatGarment("b", "9", "", ("late",)),)),))
    assert "its heat or peel is in doubt" in answer(recheck(period))


def test_a_shift_within_one_day_names_the_day_once() -> None:
    began = datetime(2026, 2, 2, 8, 0).timestamp()
    one = moments([(Shift(1, 1, 9, began, began + 3600.0),)])
    assert one == ("2026-02-02 08:00", "09:00")
    over = moments([(Shift(1, 1, 9, began, began + 20 * 3600.0),)])
    assert over == ("2026-02-02 08:00", "2026-02-03 04:00")
    assert moments([(Shift(1, 1, 9, began, None),)]) == ("2026-02-02 08:00", "")


@pytest.mark.parametrize(
    ("began", "told"),
    [
        ((2026, 3, 29, 0, 55), ("2026-03-29 01:55+01:00", "03:05+02:00")),
        ((2026, 10, 25, 0, 55), ("2026-10-25 02:55+02:00", "02:05+01:00")),
        ((2026, 10, 25, 1, 55), ("2026-10-25 02:55", "03:05")),
    ],
)
def test_a_shift_over_a_change_of_summer_time_says_which_time_is_meant(
    monkeypatch: pytest.MonkeyPatch, began: tuple[int, int, int, int, int], told: tuple[str, str]
) -> None:
    """02:55 to 02:05 is ten minutes there: directive 2000/84/EC, at 1:00 UTC on last Sundays."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    try:
        wall = datetime(*began, tzinfo=UTC).timestamp()
        assert moments([(Shift(1, 1, 9, wall, wall + 600.0),)]) == told
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize(
    ("seconds", "told"), [(-7200.0, "back 120 min"), (366 * 86400.0, "forward 366 days")]
)
def test_a_clock_set_by_days_says_days(seconds: float, told: str) -> None:
    (sentence,) = clock_jump_lines("north", [ClockJump(7, seconds)])
    assert f"was set {told}." in SAY(sentence)


def test_one_change_to_several_pieces_is_listed_once() -> None:
    values: dict[str, Value] = {"unit": "F", "normal": 294, "now": 312}
    changed = tuple(
        say("settings.changed_temperature", piece=piece, **values)
        for piece in ("name.1", "name.2", "number.1")
    )
    (panel,) = plan().settings
    own: PanelSettings = replace(panel, changed_from_normal=changed, warnings=())
    jobs = {"ferry": JobStart(replace(plan(), settings=(own,)))}
    table = settings(Period((facts(jobs=jobs),))).section.table
    (row,) = table.rows
    why = next(cell for cell, name in zip(row, table.head, strict=True) if SAY(name) == "why")
    assert cell_text(why, SAY) == (
        "name, layer 1; name, layer 2; number, layer 1: 312 °F instead of 294 °F"
    )


def test_settings_used_leave_out_a_job_that_an_earlier_shift_finished() -> None:
    """It stays at the press until the next job begins, perhaps in the next shift."""
    jobs = {job: JobStart(plan(job, job, job)) for job in ("ferry", "quay")}
    counted = (good(4, own=False), good(2, job="quay"))
    period = Period((facts(jobs=jobs, garments=counted),))
    assert [each.job for each in job_counts(period)] == ["quay"]
    told = settings(period)
    assert [cell_text(row[0], SAY) for row in told.section.table.rows] == ["quay"]
    assert told.data is not None
    assert "ferry" not in str(told.data())


def test_a_procedure_with_one_closing_group_has_no_number() -> None:
    """A number helps only if a panel has two groups to tell apart."""
    one = plan()
    (passage,) = one.passes
    two = replace(
        one, recipe="pair", passes=(passage, replace(passage, group=1)), runs=((0,), (1,))
    )
    jobs = {"ferry": JobStart(one), "barge": JobStart(two)}
    stints = tuple(Stint(nth, 1, "QV", job, 1, 9) for nth, job in enumerate(jobs))
    cycles = tuple(
        StepSeconds(*at_, (60.0, 70.0)) for at_ in ((0, 0, 0, 4), (1, 0, 0, 4), (1, 1, 0, 4))
    )
    found = pace(Period((facts(jobs=jobs, stints=stints, cycles=cycles),)))[0]
    names = [cell_text(row[1], SAY) for row in found.section.table.rows]
    assert names == ["pair, back, group 1", "pair, back, group 2", "stack, back"]
