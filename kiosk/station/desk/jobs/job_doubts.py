"""Pages of a job's faults, and of the questions about its roster."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Fault
from kiosk.plan.refusals import refusal_words
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.order_ends import in_row
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.file_words import fault_line
from kiosk.words import Words, fault_text

ON_A_PAGE = 4  # in letters large enough to read at the press


class DoubtsShown:
    """Which screenful of a job's faults or questions is shown."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.index = 0

    def leave(self, page: PageKind) -> None:
        """Go to another page, and reset this one to its first screenful."""
        self.index = 0
        self._desk.go(page)

    def screenful(self, lines: Sequence[str], words: Words) -> tuple[Sequence[str], Button | None]:
        """Return the lines of the current screenful, and the button to the next if there is one."""
        page_count = max(1, -(-len(lines) // ON_A_PAGE))
        first = self.index % page_count * ON_A_PAGE

        def turn() -> None:
            self.index += 1

        more = Button(words("page.more"), turn) if page_count > 1 else None
        return lines[first : first + ON_A_PAGE], more


def faults(desk: Desk, words: Words) -> Sheet:
    """Page of a job's faults, a few on a screenful."""
    offer = desk.offer
    found: tuple[str, ...] = ()
    if offer is not None:
        found = tuple(fault_line(words, fault) for fault in offer.faults)
        if offer.refusal is not None:
            found = tuple(map(words.say, refusal_words(offer.refusal, desk.library.catalog)))
    shown, more = desk.of(DoubtsShown).screenful(found, words)
    return Sheet(
        title=words("page.faults"),
        lines=(words("page.faults_line"), *shown),
        left=Button(words("page.back"), lambda: desk.of(DoubtsShown).leave(PageKind.JOBS)),
        right=more,
    )


def _question_line(fault: Fault, words: Words) -> str:
    """Return a question: about the roster by its row, about the job's file by its line."""
    if Path(fault.file).suffix == ".yaml":
        return fault_line(words, fault)
    return fault_text(replace(in_row(fault, words), question=False), words)


def questions(desk: Desk, words: Words) -> Sheet:
    """Page of the questions about the roster, a few on a screenful."""
    found = desk.offer.questions if desk.offer is not None else ()
    lines = [_question_line(each, words) for each in found]
    shown, more = desk.of(DoubtsShown).screenful(lines, words)
    return Sheet(
        title=words("page.questions", count=len(found)),
        lines=(words("page.questions_line"), *shown),
        left=Button(words("page.back"), lambda: desk.of(DoubtsShown).leave(PageKind.SET_UP)),
        right=more,
    )
