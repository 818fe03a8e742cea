"""Jobs and counts, and the inputs of the ratios."""

from __future__ import annotations

from dataclasses import replace

import pytest
from report_samples import at, facts, finished, good, noted, plan, step

from kiosk.log.facts.facts import (
    ClosingCount,
    DueJob,
    EventTally,
    GarmentSample,
    JobStart,
    ScrappedGarment,
    StepSeconds,
)
from kiosk.plan.model import Phase, Piece, Plan, UsableSpan
from kiosk.plan.time.handling import HandTime
from kiosk.report.answers.counts import elements, job_counts, job_table, ratios
from kiosk.report.answers.dwell import closing_sources, dwell, openings
from kiosk.report.answers.lots import lots
from kiosk.report.answers.materials import material
from kiosk.report.answers.pace import cycles, moves
from kiosk.report.answers.pace import pace as move_times
from kiosk.report.answers.results import defects, failures, spoiled_pieces
from kiosk.report.answers.supervised import articles, handovers
from kiosk.report.answers.tack import tack
from kiosk.report.content import BarChart, ControlChart, Topic, cell_text
from kiosk.report.evidence import Share
from kiosk.report.period import Period
from kiosk.run.state.events import TakenBack
from kiosk.run.state.events_shift import FirstArticleJudged
from kiosk.run.state.events_station import HandedOver
from kiosk.run.state.model import TicketStage, TimeSource
from kiosk.words import Words

SAY = Words("en").say


def of(period: Period) -> Topic:
    return ratios(period, job_counts(period))


def test_ordered_garments_are_good_accepted_rework_open_or_from_other_shifts() -> None:
    garments = (
        good(3),
        good(2, result="accepted", first_pass=False),
        good(1, result="rework", first_pass=False),
        good(4, result="open", own=False, first_pass=False),
        good(5, own=False),
        good(2, result="scrap", latest=False, first_pass=False),
    )
    (job,) = job_counts(Period((facts(garments=garments),)))
    parts = job.good + job.accepted + job.rework + job.still_open + job.other_shifts
    assert job.ordered == parts == 15
    assert (job.scrap, job.made, job.first_pass) == (2, 8, 3)


def test_planned_time_counts_only_the_passes_a_garment_went_through() -> None:
    """By hand: a lot of ten through two equal passes, five garments through only one."""
    one = plan()
    twice = replace(one, passes=(one.passes[0], one.passes[0]), runs=((0,), (1,)))
    jobs = {"ferry": JobStart(twice)}
    garments = (good(10, passes=(0, 1)), good(5, passes=(0,)))
    (job,) = job_counts(Period((facts(garments=garments, jobs=jobs),)))
    (alone,) = job_counts(Period((facts(garments=(good(10),)),)))
    assert job.planned.high == pytest.approx(2.5 * alone.planned.high)
    assert job.planned.low == pytest.approx(2.5 * alone.planned.low)
    known = elements(Period((facts(garments=garments, jobs=jobs),)), (job,), None)
    both = (job.planned.low + job.planned.high) / 2
    assert known.pru == pytest.approx(both / 15)


def test_planned_time_excludes_tacks_a_garment_did_not_need() -> None:
    """By hand: six of ten were tacked; the other four as in a plan without a name."""
    name = Piece("name.1", "name", 1, 2, "film", "black", "back")
    whole = plan()
    lay, tack = step(Phase.LAY, "name.1"), step(Phase.TACK, "name.1", seconds=3)
    (own,) = whole.passes
    named = replace(own, steps=(*own.steps[:1], lay, tack, *own.steps[1:]))
    both = replace(whole, passes=(named,), pieces=(*whole.pieces, name))

    def planned(of: Plan, many: int, *closings: ClosingCount) -> HandTime:
        known = facts(garments=(good(many),), jobs={"ferry": JobStart(of)}, closings=closings)
        (job,) = job_counts(Period((known,)))
        return job.planned

    def tacked(many: int) -> tuple[ClosingCount, ...]:
        number = ClosingCount(0, 0, 4, TimeSource.DECLARED, TimeSource.NOT_SEEN, 10, ())
        return ClosingCount(0, 0, 2, TimeSource.DECLARED, TimeSource.NOT_SEEN, many, ()), number

    all_, six = planned(both, 10, *tacked(10)), planned(both, 10, *tacked(6))
    none = planned(whole, 10)
    assert six.low == pytest.approx(0.6 * all_.low + 0.4 * none.low)
    assert six.high == pytest.approx(0.6 * all_.high + 0.4 * none.high)
    assert none.high < six.high < all_.high


def test_a_job_finished_by_another_shift_is_not_counted() -> None:
    """It was still at the press at sign-on; it is listed if open or with scrap today."""
    done, open_ = good(9, own=False), good(1, result="open", own=False)
    left = Period((facts(garments=(done,)),))
    assert job_counts(left) == ()
    assert SAY(job_table(left, ()).answer[0]) == "None: no job was worked on."
    assert [job.ordered for job in job_counts(Period((facts(garments=(done, open_)),)))] == [10]
    scrapped = good(1, result="scrap", latest=False, first_pass=False)
    assert [job.scrap for job in job_counts(Period((facts(garments=(done, scrapped)),)))] == [1]


def test_a_job_at_two_stations_is_ordered_once() -> None:
    north = facts("north", garments=(good(6), good(4, result="open", own=False)))
    south = facts("south", garments=(good(3), good(7, result="open", own=False)))
    (job,) = job_counts(Period((north, south)))
    assert (job.ordered, job.good, job.still_open) == (10, 9, 1)


def test_a_shared_job_counts_the_whole_order_over_all_stations() -> None:
    """South gave two of its six back, which north made; nobody has taken the last three."""
    jobs = {"ferry": JobStart(plan(), whole=15)}
    north = facts("north", garments=(good(8),), jobs=jobs)
    south = facts("south", garments=(good(4), good(2, result="open", own=False)), jobs=jobs)
    (job,) = job_counts(Period((north, south)))
    assert (job.ordered, job.good, job.still_open) == (15, 12, 3)
    (own,) = job_counts(Period((north,)))
    assert (own.ordered, own.good, own.still_open) == (8, 8, 0)


def test_a_late_shared_job_is_counted_over_all_stations() -> None:
    """North made all of its ten, south has one of six left; then both have a whole job."""
    for whole, ordered, left in ((16, (10, 6), (0, 1)), (0, (12, 12), (7, 6))):
        logs = (
            facts(
                name,
                jobs={"ferry": JobStart(plan(), whole=whole)},
                due=(DueJob("ferry", "Ferry order", "2026-02-01", of, to_do),),
                garments=(good(of - to_do), good(to_do, result="open", own=False)),
            )
            for name, of, to_do in zip(("north", "south"), ordered, left, strict=True)
        )
        period = Period(tuple(logs))
        topic = job_table(period, job_counts(period), "2026-02-02")
        assert f"due 2026-02-01, 1 of {whole or 12} still to finish" in SAY(topic.answer[0])


def test_a_jobs_time_includes_holds_but_not_breaks() -> None:
    tallies = (
        EventTally(0, "closed", 9, 500.0, 0.0),
        EventTally(0, "ticket-called", 1, 900.0, 900.0),
        EventTally(0, "restarted", 1, 300.0, 300.0),
    )
    (job,) = job_counts(Period((facts(tallies=tallies),)))
    assert job.used_seconds == 800.0


def test_the_time_elements_add_up() -> None:
    tallies = (
        EventTally(0, "setting-read", 1, 120.0, 0.0),
        EventTally(0, "closed", 9, 500.0, 0.0),
        EventTally(0, "restarted", 1, 300.0, 300.0),
    )
    period = Period((facts(tallies=tallies, garments=(good(9),)),))
    known = elements(period, job_counts(period), 3600.0)
    assert (known.aubt, known.asut, known.apt, known.aupt) == (920.0, 120.0, 500.0, 620.0)
    assert (known.pq, known.gq, known.gp, known.pbt) == (9, 9, 9, 3600.0)


@pytest.mark.parametrize(("many", "shown"), [(19, None), (20, "100.0 %")])
def test_a_ratio_is_left_out_below_twenty(many: int, shown: str | None) -> None:
    table = of(Period((facts(garments=(good(many),)),))).section.table
    assert {cell_text(row[0], SAY): row[1] for row in table.rows}.get("Quality ratio") == shown


def test_without_the_planned_busy_time_its_ratios_are_omitted() -> None:
    topic = of(Period((facts(garments=(good(30),)),)))
    assert "availability" not in topic.data()["ratios"]  # type: ignore[operator]  # a dict
    assert any("busy time" in SAY(line) for line in topic.section.reading)


def test_a_defect_that_was_undone_does_not_count() -> None:
    events = noted(
        finished("1", TicketStage.SCRAP, "marks", "over_run"),
        TakenBack(at(), "finished", "1/1/1"),
        finished("2", TicketStage.REWORK, "marks", "over_run"),
    )
    found = failures(Period((facts(noted=events),)))
    assert [failure.ticket for failure in found] == ["2/1/1"]


def test_defects_are_grouped_by_class_cause_and_layer_most_frequent_first() -> None:
    events = noted(
        finished("1", TicketStage.ACCEPTED, "lifted_edge", "short_press", "number.2"),
        finished("2", TicketStage.ACCEPTED, "marks", "over_run"),
        finished("3", TicketStage.SCRAP, "lifted_edge", "short_press", "number.2"),
    )
    topic = defects(Period((facts(noted=events, garments=(good(30),)),)))
    assert topic.data()["defects"] == [
        {"defect": "lifted_edge", "cause": "short_press", "layer": "2", "count": 2},
        {"defect": "marks", "cause": "over_run", "layer": "", "count": 1},
    ]


def test_a_defect_without_a_piece_blames_neither_of_two_materials() -> None:
    events = noted(
        finished("1", TicketStage.ACCEPTED, "marks", "material", "number.2"),
        finished("2", TicketStage.ACCEPTED, "marks", "material"),
    )
    topic = material(Period((facts(noted=events, garments=(good(30),)),)))
    assert topic.data()["materials"] == {
        "film": {"failed": 0, "pressed": 30},
        "flock": {"failed": 1, "pressed": 30},
    }
    assert "1 defect names no piece" in SAY(topic.answer[1])


def closing(
    step: int,
    opening: TimeSource,
    *over: float,
    many: int = 1,
    closing: TimeSource = TimeSource.DECLARED,
) -> ClosingCount:
    planned = {2: 2.0, 4: 12.0}[step]
    told = tuple((float(nth), planned, each) for nth, each in enumerate(over))
    return ClosingCount(0, 0, step, closing, opening, many, told)


def test_declared_measured_and_unseen_are_counted_separately() -> None:
    closings = (
        closing(4, TimeSource.NOT_SEEN, many=7),
        closing(4, TimeSource.DECLARED, 1.0, 2.0, many=2),
        closing(4, TimeSource.MEASURED, 0.5, many=1, closing=TimeSource.MEASURED),
        closing(4, TimeSource.TOLD, many=3, closing=TimeSource.TOLD),
    )
    topic = closing_sources(Period((facts(closings=closings),)))
    assert topic.data() == {
        "closings": {"declared": 9, "measured": 1, "told": 3},
        "openings": {"declared": 2, "measured": 1, "told": 3, "not seen": 7},
    }


def test_a_final_entered_by_hand_is_left_off_the_chart_with_a_note() -> None:
    told = closing(4, TimeSource.TOLD, many=3, closing=TimeSource.TOLD)
    seen_twice = closing(4, TimeSource.DECLARED, 1.0, 2.0, many=2)
    for closings, others in (((told,), 0), ((told, seen_twice), 2)):
        topic = dwell(Period((facts(closings=closings),)))
        said = [line for line in topic.section.reading if line.id == "report.dwell_told"]
        assert [line.values for line in said] == [{"count": 3}]
        chart = topic.section.chart
        assert (len(chart.values) if isinstance(chart, ControlChart) else 0) == others


def test_one_known_opening_does_not_make_a_chart() -> None:
    assert (
        dwell(Period((facts(closings=(closing(4, TimeSource.DECLARED, 1.0),)),))).section.chart
        is None
    )


def test_scrap_spoils_the_digits_in_each_layer_of_a_number() -> None:
    names = Piece("name.1", "name", 1, 1, "film", "black", "back")
    steps = plan().passes[0].steps
    lay = replace(steps[1], pieces=(*steps[1].pieces, "name.1"))
    passage = replace(plan().passes[0], steps=(steps[0], lay, *steps[2:]))
    job = JobStart(replace(plan(), pieces=(*plan().pieces, names), passes=(passage,)))
    scrapped = (ScrappedGarment("ferry", "1", "77", ((0, 4),)),)
    found = spoiled_pieces(Period((facts(jobs={"ferry": job}, spoiled=scrapped),)))
    assert found == {
        ("film", "black", "number", "7"): 2,
        ("flock", "white", "number", "7"): 2,
        ("film", "black", "name", ""): 1,
    }


def test_a_percentage_is_shown_only_from_twenty_on() -> None:
    assert [SAY(Share(5, whole).in_words()) for whole in (19, 20)] == [
        "5 of 19",
        "5 of 20 (11–47 %)",
    ]


def test_without_known_openings_the_dwell_section_says_what_would_show_them() -> None:
    section = dwell(Period((facts(closings=(closing(4, TimeSource.NOT_SEEN, many=40),)),))).section
    assert section.chart is None
    assert "switch" in SAY(section.reading[0])


def test_the_dwell_chart_uses_only_known_openings() -> None:
    over = (0.5, 0.7, 0.4, 0.6, 0.5, 9.0)
    closings = (closing(4, TimeSource.MEASURED, *over), closing(4, TimeSource.NOT_SEEN, many=40))
    section = dwell(Period((facts(closings=closings),))).section
    assert section.chart is not None
    assert section.chart.values == over  # type: ignore[union-attr]  # a control chart
    assert "40 openings not seen" in SAY(section.reading[0])


def test_one_late_opening_among_many_is_a_signal() -> None:
    over = (*[0.2, 1.0] * 12, 5.0)
    section = dwell(Period((facts(closings=(closing(4, TimeSource.MEASURED, *over),)),))).section
    assert section.chart is not None
    assert section.chart.signals == (24,)  # type: ignore[union-attr]  # a control chart
    assert "one far outside" in SAY(section.reading[2])


def test_a_drift_to_late_openings_is_not_explained_by_one_early_opening() -> None:
    over = (*[0.0, 1.0] * 15, -6.0, *[1.2, 1.4] * 8)
    section = dwell(Period((facts(closings=(closing(4, TimeSource.MEASURED, *over),)),))).section
    told = SAY(section.reading[2])
    assert told.startswith("7 signals (eleven in a row on one side), mostly too long")


def test_a_tack_beyond_its_sheets_limit_is_too_long() -> None:
    late = Period((facts(closings=(closing(2, TimeSource.MEASURED, 2.0, 2.1, 1.9),)),))
    right = Period((facts(closings=(closing(2, TimeSource.MEASURED, 0.5, 0.2, 0.3),)),))
    assert SAY(tack(late).answer[0]).startswith("Yes: 4.0 s")
    assert SAY(tack(right).answer[0]).startswith("No: 2.3 s")
    assert [o.over for o in openings(late, Phase.TACK)] == [2.0, 2.1, 1.9]


def test_the_defect_chart_uses_full_samples_and_names_the_first_worse_one() -> None:
    samples = [GarmentSample(20, 1, float(n)) for n in range(8)]
    period = Period(
        (facts(samples=(*samples, GarmentSample(20, 9, 9.0), GarmentSample(7, 7, 10.0))),)
    )
    section = lots(period).section
    assert section.chart is not None
    assert len(section.chart.values) == 9  # type: ignore[union-attr]  # a control chart
    assert "from sample 9 on" in SAY(section.reading[0])


def test_a_few_samples_do_not_make_a_chart() -> None:
    assert lots(Period((facts(samples=(GarmentSample(20, 1, 1.0),)),))).section.chart is None


def test_cycles_count_only_the_final_press() -> None:
    found = cycles(
        Period(
            (
                facts(
                    cycles=(
                        StepSeconds(0, 0, 0, 2, (50.0, 51.0)),
                        StepSeconds(0, 0, 0, 4, (60.0, 62.0)),
                    )
                ),
            )
        )
    )
    assert found == {("north", "stack", "back", 0): (60.0, 62.0)}


def test_a_move_is_named_by_its_phases_and_the_next_closing() -> None:
    (found,) = moves(Period((facts(moves=(StepSeconds(0, 0, 0, 2, (9.0,)),)),)))
    assert SAY(found.move.label()) == "load, lay layer, to the tack"


def test_the_same_move_on_two_panels_is_held_against_the_plan_of_each() -> None:
    """By hand from `plan/time/handling`: load 20 s, 18 s per piece, 3 s until hands are back."""
    (back,) = plan().passes
    more = replace(back, steps=(back.steps[0], step(Phase.LAY, "a.1", "b.1", "c.1"), back.steps[2]))
    front = replace(back, panel="front", steps=back.steps[:3])
    job = JobStart(replace(plan(), passes=(more, front), runs=((0,), (1,))))
    times = (StepSeconds(0, 0, 0, 2, (50.0,) * 20), StepSeconds(0, 1, 0, 2, (30.0,) * 20))
    period = Period((facts(jobs={"ferry": job}, moves=times),))
    found = {key.move.panel: pace for key, pace in moves(period).items()}
    assert {panel: each.middle for panel, each in found.items()} == {"back": 50.0, "front": 30.0}
    slow = {panel: each.planned_slow for panel, each in found.items()}
    assert slow == {"back": 20.0 + 3 * 18.0 + 3.0, "front": 20.0 + 18.0 + 3.0}
    table = move_times(period)[1].section.table
    assert {cell_text(row[1], SAY) for row in table.rows} == {"stack, back", "stack, front"}


def test_the_job_that_lost_the_most_time_is_behind() -> None:
    tallies = (EventTally(0, "closed", 9, 9000.0, 0.0),)
    garments = (good(5), good(3, result="open", own=False, first_pass=False))
    period = Period((facts(tallies=tallies, garments=garments),))
    answer = SAY(job_table(period, job_counts(period)).answer[0])
    assert answer.startswith("Ferry order: ")
    assert "behind plan, 3 of 8 still to finish" in answer


def test_first_garments_and_hand_overs_are_reported() -> None:
    events = noted(
        FirstArticleJudged(at(), "1/1/1", "300 F, film", True, "ZD", "QV", 0.05, None),
        FirstArticleJudged(at(), "2/1/1", "300 F, film", False, "QV", "QV", faults=("marks",)),
        HandedOver(at(), "QV", to="ZD", notes=("pad_worn",)),
    )
    period = Period((facts(noted=events),))
    judged, handed = articles(period).section, handovers(period).section
    assert [cell_text(cell, SAY) for cell in judged.table.rows[1]] == [
        "300 F, film", "NOT approved", "QV", "– / –", "marks",
    ]  # fmt: skip
    assert SAY(judged.reading[0]).startswith("1 of 2 approved")
    assert [cell_text(cell, SAY) for cell in handed.table.rows[0]][3] == "the pad is worn"


def test_the_dwell_is_compared_with_what_the_plan_allows() -> None:
    allowed = replace(plan().settings[0], usable=(UsableSpan(290, 310, 10, 16),))
    jobs = {"ferry": JobStart(replace(plan(), settings=(allowed,)))}
    over = tuple([0.5, 1.5] * 12)
    section = dwell(
        Period((facts(jobs=jobs, closings=(closing(4, TimeSource.MEASURED, *over),)),))
    ).section
    assert "Allowed -2 to +4 s" in SAY(section.reading[-1])
    assert "Cpk 1.13 (0.69–1.56) by moving ranges" in SAY(section.reading[-1])
    assert "Ppk 1.96 (1.38–2.54) overall" in SAY(section.reading[-1])


def test_declared_and_measured_dwells_and_stations_have_separate_means() -> None:
    slow = (
        closing(4, TimeSource.DECLARED, 6.0, 6.2, 6.1),
        closing(4, TimeSource.MEASURED, 0.5, 0.6),
    )
    topic = dwell(Period((facts(closings=slow), facts("south", closings=slow[1:]))))
    told = topic.data()["dwell_over_s"]
    assert [(d["station"], d["seen"], d["mean"]) for d in told] == [  # type: ignore[attr-defined]
        ("north", "declared", 6.1), ("north", "measured", 0.55), ("south", "measured", 0.55),
    ]  # fmt: skip


def test_the_bars_show_percentages_only_from_twenty_defects_on() -> None:
    def chart(many: int) -> BarChart:
        events = noted(
            *[finished(str(n), TicketStage.ACCEPTED, "marks", "over_run") for n in range(many)]
        )
        shown = defects(Period((facts(noted=events, garments=(good(30),)),))).section.chart
        assert isinstance(shown, BarChart)
        return shown

    assert [covered for _, _, covered in chart(19).bars] == [""]
    assert [covered for _, _, covered in chart(20).bars] == ["100 %"]
