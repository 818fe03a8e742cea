"""Pages of what stands in a job's way, and of what is doubtful in its roster."""

from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Fault
from kiosk.plan.model import Refusal
from kiosk.plan.phrases import limit_told
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.order_doubts import in_row
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.words import Words, fault_text

MOST_QUESTIONS = 4  # on one page, in letters that are read at the press


def faults(desk: Desk, words: Words) -> Sheet:
    """What stands in a job's way."""
    offer = desk.offer
    found: tuple[str, ...] = ()
    if offer is not None:
        found = tuple(_in_file(fault, words) for fault in offer.faults)
        if offer.refusal is not None:
            found = _refused(offer.refusal, words)
    return Sheet(
        title=words("page.faults"),
        lines=(words("page.faults_line"), *found[:6]),
        left=Button(words("page.back"), lambda: desk.go(Page.JOBS)),
    )


def _refused(refusal: Refusal, words: Words) -> tuple[str, ...]:
    conflict = words("page.conflict", limits=tuple(map(limit_told, refusal.conflict)))
    return (conflict, *(words.say(change) for change in refusal.changes))


def _in_file(fault: Fault, words: Words) -> str:
    """A fault with the name of its file: the folder is the page's job, its path no help."""
    return fault_text(replace(fault, file=Path(fault.file).name), words)


def _doubt(fault: Fault, words: Words) -> str:
    """A question about a row of the roster by that row; one about the job's file by its place."""
    if Path(fault.file).suffix == ".yaml":
        return _in_file(fault, words)
    return fault_text(replace(in_row(fault, words), question=False), words)


class Asked:
    """Which page of the roster's questions is read."""

    def __init__(self, _: Desk) -> None:
        self.at = 0


def look_at_questions(desk: Desk) -> None:
    """Turn to the first of what is doubtful in the roster."""
    desk.of(Asked).at = 0
    desk.go(Page.QUESTIONS)


def questions(desk: Desk, words: Words) -> Sheet:
    """What is doubtful in the roster, a few on a page."""
    found = desk.offer.questions if desk.offer is not None else ()
    asked, pages = desk.of(Asked), max(1, -(-len(found) // MOST_QUESTIONS))
    first = asked.at % pages * MOST_QUESTIONS

    def turn() -> None:
        asked.at += 1

    return Sheet(
        title=words("page.questions", count=len(found)),
        lines=(
            words("page.questions_line"),
            *(_doubt(each, words) for each in found[first : first + MOST_QUESTIONS]),
        ),
        left=Button(words("page.back"), lambda: desk.go(Page.SET_UP)),
        right=Button(words("page.more"), turn) if pages > 1 else None,
    )
