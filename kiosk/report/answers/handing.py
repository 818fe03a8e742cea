"""First garments and trials that were judged, and what one shift told the next."""

from __future__ import annotations

from kiosk.catalog.base import Message, say
from kiosk.report.content import Cell, Section, Table, Topic, head, row
from kiosk.report.period import Period
from kiosk.run.state import DEFECT_IDS, FirstArticleJudged, HandedOver, TrialJudged, defect_word


def articles(period: Period) -> Topic:
    """First garments: who approved them, how far off they were, what was wrong."""
    found = [n.event for _, n in period.noted() if isinstance(n.event, FirstArticleJudged)]
    rows = tuple(
        row(
            each.article,
            say("report.approved" if each.approved else "report.not_approved"),
            each.approver,
            _inches(each),
            tuple(defect_word(fault) for fault in each.faults if fault in DEFECT_IDS),
        )
        for each in found
    )
    approved = sum(each.approved for each in found)
    reading = say("report.articles_reading", approved=approved, of=len(found))
    columns = head("article", "verdict", "who", "off_inches", "defect")
    data = {"first_articles": {"approved": approved, "of": len(found)}}
    return Topic(Section("articles", (reading,), Table(columns, rows)), data=data)


def trials(period: Period) -> Topic:
    """Trials of guessed settings: on what, by whom, what was found."""
    found = [n.event for _, n in period.noted() if isinstance(n.event, TrialJudged)]
    rows = tuple(
        row(
            ", ".join(each.articles),
            say("report.passed" if each.passed else "report.trial_failed"),
            each.by,
            say("report.trial_piece" if not each.ticket else "report.trial_garment"),
            tuple(_found(fault) for fault in each.faults),
        )
        for each in found
    )
    passed = sum(each.passed for each in found)
    reading = say("report.trials_reading", passed=passed, of=len(found))
    columns = head("article", "verdict", "who", "about", "defect")
    data = {"trials": {"passed": passed, "of": len(found)}}
    return Topic(Section("trials", (reading,), Table(columns, rows)), data=data)


def _found(fault: str) -> Message:
    return defect_word(fault) if fault in DEFECT_IDS else say("page.lot.found.peel")


def _inches(each: FirstArticleJudged) -> str:
    off = (each.across_inches, each.along_inches)
    return " / ".join("–" if inches is None else f"{inches:+.2f}" for inches in off)


def handovers(period: Period) -> Topic:
    """Hand-overs at which something was told."""
    found = [n.event for _, n in period.noted() if isinstance(n.event, HandedOver)]
    told = [each for each in found if each.notes or each.to]
    rows = tuple(row(each.operator, each.to or "–", _verified(each), _notes(each)) for each in told)
    reading = say("report.handovers_reading", told=len(told), count=len(found))
    table = Table(head("who", "to", "press_checked", "open_questions"), rows)
    data = {"handovers": [{"from": e.operator, "to": e.to, "notes": list(e.notes)} for e in told]}
    return Topic(Section("handovers", (reading,), table), data=data)


def _verified(each: HandedOver) -> Message:
    return say("report.passed" if each.verified else "report.not_checked")


def _notes(each: HandedOver) -> Cell:
    return tuple(say(f"handover.{note}") for note in each.notes)
