"""Peels are early or late by a rule or an estimate; with a guess only before or after it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from report_samples import at, facts, noted, plan

from kiosk.catalog.base.notes import Message
from kiosk.catalog.model.sheets import Peel
from kiosk.catalog.model.source import GUESS, Source, SourceKind
from kiosk.log.facts.facts import EventTally, JobStart, PeelSeconds
from kiosk.plan.heat.waits import FROM_ESTIMATE, FROM_PRACTICE, SOURCE_IDS
from kiosk.plan.model import PeelWait
from kiosk.report.answers.helping import help_needs
from kiosk.report.answers.materials import peels
from kiosk.report.content import Topic
from kiosk.report.period import Period
from kiosk.run.state.events import Finished
from kiosk.run.state.model import TicketStage
from kiosk.words import Words

SECONDS = (30.0, 50.0, 70.0, 80.0, 700.0)  # two before 60 s, one after 600 s
SHEET = Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4")
TRIAL = Source(SourceKind.SHOP_TRIAL, date="2026-04-02")
WORK = Source(SourceKind.PUBLISHED, work="Handbook")


def period(wait: PeelWait) -> Period:
    """Return five peels of a job whose plan has this wait."""
    own = plan()
    own = replace(own, passes=(replace(own.passes[0], wait=wait),))
    return Period((facts(jobs={own.job: JobStart(own)}, peels=(PeelSeconds(0, 0, SECONDS, ()),)),))


def told(topic: Topic) -> str:
    return " ".join(Words().say(each) for each in topic.answer)


def data_of(topic: Topic) -> dict[str, object]:
    every = topic.data()["peels"]
    assert isinstance(every, list)
    assert len(every) == 1
    return dict(every[0])


def cells(topic: Topic) -> dict[str, str]:
    words = Words()
    ((*values,),) = topic.section.table.rows
    heads = [each.id.rsplit(".", 1)[-1] for each in topic.section.table.head]
    said = [words.say(v) if isinstance(v, Message) else str(v) for v in values]
    return dict(zip(heads, said, strict=True))


@pytest.mark.parametrize(
    ("wait", "by"),
    [
        (PeelWait(Peel.COLD, 60.0, 600.0, SOURCE_IDS[s.kind], origin=s), by)
        for s, by in (
            (SHEET, "supplier's sheet “Film sheet 4”"),
            (TRIAL, "shop trial of 2026-04-02"),
            (WORK, "published in “Handbook”"),
        )
    ]
    + [(PeelWait(Peel.COLD, 60.0, 600.0, FROM_ESTIMATE), "estimate")],
)
def test_with_a_rule_or_an_estimate_peels_can_be_early_or_late(wait: PeelWait, by: str) -> None:
    found = peels(period(wait))
    assert told(found).startswith(f"2 early, 1 late of 5 ({by}).")
    row = cells(found)
    assert (row["wait_by"], row["early"], row["late"], row["beside_guess"]) == (by, "2", "1", "")
    data = data_of(found)
    assert (data["early"], data["late"]) == (2, 1)
    assert "before_guess" not in data


@pytest.mark.parametrize(
    "wait",
    [
        PeelWait(Peel.COLD, 60.0, 600.0, SOURCE_IDS[SourceKind.GUESS], guess=(60.0, 600.0)),
        PeelWait(Peel.COLD, 60.0, 600.0, FROM_PRACTICE),
    ],
)
def test_with_a_guess_no_peel_is_early_or_late(wait: PeelWait) -> None:
    found = peels(period(wait))
    assert told(found) == (
        "5 peeled by a guessed time: 2 before it, 1 after. A guess is not a rule, so none counts "
        "as early or late."
    )
    row = cells(found)
    assert (row["wait_by"], row["early"], row["share"], row["late"]) == ("guess", "–", "–", "–")
    assert row["beside_guess"] == "2 before, 1 after"
    data = data_of(found)
    assert (data["early"], data["late"]) == (0, 0)
    assert (data["before_guess"], data["after_guess"]) == (2, 1)


@pytest.mark.parametrize(("source", "helped"), [(SHEET, ["QV"]), (GUESS, [])])
@pytest.mark.parametrize("said", [True, False])
def test_peeling_before_a_guess_does_not_mean_a_person_needs_help(
    source: Source, helped: list[str], said: bool
) -> None:
    """Whether the record says that it was a guess or only the plan does; QV of two operators."""
    by_guess = source.is_guess and said
    events = [
        Finished(
            at(n), f"{n}/1/1", TicketStage.GOOD, True, early_seconds=9.0, early_by_guess=by_guess
        )
        for n in range(30)
    ]
    guess = (60.0, 600.0) if source.is_guess else None
    wait = PeelWait(Peel.COLD, 60.0, 600.0, SOURCE_IDS[source.kind], guess=guess, origin=source)
    (own,) = period(wait).logs
    pressed = tuple(EventTally(stint, "finished", 30, 0.0, 0.0) for stint in (0, 1))
    two = facts(operators=("QV", "RS"), jobs=own.jobs, tallies=pressed, noted=noted(*events))
    found = [each.operator for each in help_needs(Period((two,))) if each.topic == "peel"]
    assert found == helped
