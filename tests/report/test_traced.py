"""A figure on the page can be traced to others on it; what was not seen is not stated.

All numbers are worked out by hand here.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from report_samples import at, facts, finished, good, noted, plan

from kiosk.catalog.base.quantities import Degrees
from kiosk.log.facts.facts import (
    ClosingCount,
    DueJob,
    JobStart,
    PeelSeconds,
    ShortHeatGarment,
    Stint,
)
from kiosk.plan.model import PeelPlace
from kiosk.report.answers.checks import drift, recheck
from kiosk.report.answers.counts import job_counts, job_table, ratios
from kiosk.report.answers.dwell import dwell
from kiosk.report.answers.materials import peels
from kiosk.report.answers.pace import pace
from kiosk.report.answers.results import defects
from kiosk.report.answers.settings import changes
from kiosk.report.answers.supervised import handovers
from kiosk.report.answers.tack import tack
from kiosk.report.content import Table, Topic, cell_text
from kiosk.report.period import Period
from kiosk.run.state.events_shift import PressVerified
from kiosk.run.state.events_station import HandedOver
from kiosk.run.state.model import TicketStage, TimeSource
from kiosk.words import Words

SAY = Words("en").say


def answer(topic: Topic) -> str:
    return " ".join(map(SAY, topic.answer))


def cells(table: Table) -> list[dict[str, str]]:
    names = [SAY(each) for each in table.head]
    return [dict(zip(names, (cell_text(c, SAY) for c in row), strict=True)) for row in table.rows]


def test_a_share_is_rounded_alike_in_sentence_and_table() -> None:
    """37 of 40 are 92.5 %, which Python's own rounding turns into 92."""
    period = Period((facts(garments=(good(37), good(3, first_pass=False))),))
    section = ratios(period, job_counts(period)).section
    assert "37 of 40, 92.5 %" in SAY(section.reading[0])
    assert "92.5 %" in [row["value"] for row in cells(section.table)]
    before = Period((facts(garments=(good(80, first_pass=False),)),))
    assert "from 0.0 % to 92.5 %" in answer(changes(period, before))


def test_the_equally_most_frequent_defects_are_named() -> None:
    seldom = finished("5", TicketStage.ACCEPTED, "off_centre", "laid_wrong")
    events = [
        finished(str(n), TicketStage.ACCEPTED, d) for n, d in enumerate(("scorch", "marks") * 2)
    ]
    told = answer(defects(Period((facts(noted=noted(*events, seldom), garments=(good(9),)),))))
    assert told == "5 defects, garments: 9; most often marks, scorch, 2 each."


def test_the_most_common_cause_is_shown_with_its_count() -> None:
    causes = ("over_run", "over_run", "short_press")
    events = [finished(str(n), TicketStage.ACCEPTED, "scorch", c) for n, c in enumerate(causes)]
    told = answer(defects(Period((facts(noted=noted(*events)),))))
    assert "most common cause: pressed too long, 2 of 3." in told


def test_a_job_that_is_due_is_not_also_called_on_time() -> None:
    garments = (good(8), good(3, result="open", own=False), good(1, result="rework"))
    late = (DueJob("ferry", "Ferry order", "2026-02-01", 12, 4),)
    period = Period((facts(due=late, garments=garments),))
    topic = job_table(period, job_counts(period), "2026-02-02")
    assert answer(topic) == (
        "Ferry order: due 2026-02-01, 4 of 12 still to finish. "
        "At the press no open job took longer than planned."
    )


def test_tacks_past_their_limit_are_shown_with_the_limit() -> None:
    """Set 2 s, at most 3 s: 0.5 s longer is within the limit, 1.5 s longer is past it."""
    over = tuple((float(n), 2.0, each) for n, each in enumerate((0.5, 1.5)))
    told = tack(Period((facts(closings=(ClosingCount(0, 0, 2, _BY_TAP, _SEEN, 2, over),)),)))
    assert "1 of 2 past the limit of 3 s (guess)" in answer(told)
    (row,) = cells(told.section.table)
    assert (row["set"], row["limit"], row["past limit"]) == ("2 s", "3 s", "1")


_BY_TAP, _SEEN = TimeSource.DECLARED, TimeSource.MEASURED


def test_one_declared_opening_is_not_called_unseen() -> None:
    one = (
        ClosingCount(0, 0, 4, _BY_TAP, TimeSource.DECLARED, 1, ((0.0, 12.0, -9.8),)),
        ClosingCount(0, 0, 4, _BY_TAP, TimeSource.NOT_SEEN, 23, ()),
    )
    section = dwell(Period((facts(closings=one),))).section
    told = " ".join(map(SAY, section.reading))
    assert "0 measured, 1 declared, 23 openings not seen and left out." in told
    assert "north, declared: -9.8 s, one opening" in told
    assert section.chart is None


@pytest.mark.parametrize(("place", "late"), [(PeelPlace.PRESS, "–"), (PeelPlace.RACK, "0")])
def test_a_peel_at_the_press_is_never_called_on_time(place: PeelPlace, late: str) -> None:
    """At the press one tap is both the opening and the peel. Wait 60 to 600 s."""
    ((of,),) = (plan().passes,)
    jobs = {"ferry": JobStart(replace(plan(), passes=(replace(of, place=place),)))}
    topic = peels(Period((facts(jobs=jobs, peels=(PeelSeconds(0, 0, (90.0,) * 5, ()),)),)))
    assert [row["late"] for row in cells(topic.section.table)] == [late]
    seen = "No: none of 5 was early or late"
    assert answer(topic).startswith(seen) is (place is PeelPlace.RACK)
    assert ("Whether any were late was not seen" in answer(topic)) is (late == "–")


def test_a_check_is_shown_in_its_presss_scale() -> None:
    passed = PressVerified(
        at(), "press-one", 150, Degrees.C, (150,) * 5, (True,) * 4, 1.0, 2.0, 5.0, 8.0, True
    )
    (row,) = cells(drift(Period((facts(checks=((1, passed),)),))).section.table)
    assert (row["set"], row["verdict"]) == ("150 °C", "passed")
    assert (row["last offset"], row["limit"]) == ("+1.0 °C", "±5 °C")


@pytest.mark.parametrize(
    ("offset", "spread", "paper", "why"),
    [
        (9.0, 2.0, (True,) * 4, "mean +9.0 °C off the setting, up to 5 allowed"),
        (1.0, 9.0, (True,) * 4, "highest to lowest 9 °C, up to 8 allowed"),
        (1.0, 2.0, (True, False, True, False), "the paper slips: right, back"),
    ],
)
def test_a_failed_check_is_reported_with_its_reason_only(
    offset: float, spread: float, paper: tuple[bool, ...], why: str
) -> None:
    """A mean within its limit is not given as a reason."""
    check = PressVerified(
        at(), "press-one", 150, Degrees.C, (150,) * 5, paper, offset, spread, 5.0, 8.0, False
    )
    told = answer(drift(Period((facts(checks=((1, check),)),))))
    assert told == f"press-one: last check FAILED: {why}. Have it checked."


def test_a_failed_check_that_recalls_nothing_is_still_reported() -> None:
    check = PressVerified(
        at(), "press-one", 150, Degrees.C, (150,) * 5, (True,) * 4, 9.0, 2.0, 5.0, 8.0, False
    )
    period = Period((facts(checks=((1, check),)),))
    assert "FAILED" in answer(drift(period))
    assert "no check failed" not in answer(recheck(period))
    assert answer(recheck(period)).startswith("Nothing: no failed check calls a garment back")


def test_peels_with_unseen_times_are_counted_beside_early_ones() -> None:
    """At the press one tap is both the opening and the peel, so nobody saw how long it took."""
    ((of,),) = (plan().passes,)
    jobs = {"ferry": JobStart(replace(plan(), passes=(replace(of, place=PeelPlace.PRESS),)))}
    seen = (30.0, 90.0, 90.0, 90.0, 90.0)
    told = answer(peels(Period((facts(jobs=jobs, peels=(PeelSeconds(0, 0, seen, ()),)),))))
    assert "1 early, 0 late of 5" in told
    assert "Whether 5 of them were late was not seen." in told
    jobs = {"ferry": JobStart(replace(plan(), passes=(replace(of, place=PeelPlace.RACK),)))}
    told = answer(peels(Period((facts(jobs=jobs, peels=(PeelSeconds(0, 0, seen, ()),)),))))
    assert "not seen" not in told


def test_a_shift_without_a_garment_says_so() -> None:
    empty = Period((facts(jobs={}),))
    assert answer(defects(empty)) == "No garment has a result yet."
    _, moves = pace(empty)
    assert answer(moves) == "No move was timed."


def test_a_hand_over_without_a_job_does_not_mention_the_press_check() -> None:
    events = (
        HandedOver(at(), "QV", to="ZD"),
        HandedOver(at(), "ZD", to="QV", setting=300, notes=("pad_worn",)),
        HandedOver(at(), "QV", to="MK", setting=300, verified=True),
    )
    section = handovers(Period((facts(noted=noted(*events)),))).section
    told = [row["press check"] for row in cells(section.table)]
    assert told == ["–", "no valid check", "passed"]
    assert SAY(section.reading[0]) == "Open questions at 1 of 3"


def test_a_new_lot_of_film_is_reported_within_a_shift_and_since_yesterday() -> None:
    """Yesterday R 1; today R 1, then R 2 in another job. A film without a lot is not reported."""

    def day(*lots: str) -> Period:
        jobs = {
            f"j{n}": JobStart(plan(f"j{n}", f"Order {n}"), lots=(("film", lot),) if lot else ())
            for n, lot in enumerate(lots)
        }
        stints = tuple(Stint(n, 1, "QV", job, n, n) for n, job in enumerate(jobs))
        return Period((facts(jobs=jobs, stints=stints),))

    told = "Order 2: another lot of film, R 2; before it was R 1."
    assert answer(changes(day("R 1", "", "R 2"), day("R 1"))) == told
    assert answer(changes(day("R 1", "", "R 2"), Period())).endswith(told)
    assert answer(changes(day("R 2"), day("R 1"))).startswith("Order 0: another lot of film, R 2")
    assert answer(changes(day("R 1", "R 1"), day("R 1"))) == "Nothing in the record."
    data = changes(day("R 1", "", "R 2"), day("R 1")).data()["changes"]
    assert data == [{"what": "lot", "job": "j2", "material": "film", "before": "R 1", "now": "R 2"}]


def test_a_single_garment_to_recheck_is_called_a_number() -> None:
    """`Ferry order: 0` would be read as none."""
    alone = facts(marked=(ShortHeatGarment("ferry", "1", "0", ("unknown",)),))
    assert "in doubt: Ferry order: number 0." in answer(recheck(Period((alone,))))
    several = tuple(ShortHeatGarment("ferry", str(n), str(n), ("unknown",)) for n in range(2))
    assert "in doubt: Ferry order: 0 1." in answer(recheck(Period((facts(marked=several),))))
    bare = facts(marked=(ShortHeatGarment("ferry", "12", "", ("unknown",)),))
    assert "in doubt: Ferry order: #12." in answer(recheck(Period((bare,))))
