"""A garment's card, for a complaint: choose the job, the garment, then read all about it."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from kiosk.report.content import Report, Topic
from kiosk.report.tables import GarmentRow
from kiosk.run.facts import garment_label
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.subject import pictures, read_from_record, sheet_of
from kiosk.words import Words

AT_ONCE = 24  # garments in one list: a longer one is first split by numbers
ROWS = 2  # closings in a part: each takes three lines of a small screen
Garments = Sequence[GarmentRow]


class Cards:
    """The choices so far: a job, some of its garments, one of them; and the part shown."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._from = PageKind.SUPERVISOR
        self.jobs: tuple[tuple[str, str, int], ...] = ()
        self.title = ""
        self.garments: Garments = ()
        self.listed: Garments = ()
        self.card: Report | None = None
        self.part = 0

    def open(self) -> None:
        """List the jobs in the record, the newest first; back returns to the current page."""
        from kiosk.station.desk.shift.report_data import recorded_jobs  # not needed at a start

        if (found := read_from_record(self._desk, recorded_jobs)) is not None:
            self._from, self.jobs = self._desk.page, found
            self.garments, self.listed, self.card = (), (), None
            self._desk.go(PageKind.CARD)

    def of_job(self, job: str, title: str) -> None:
        """List a job's garments."""
        from kiosk.station.desk.shift.report_data import recorded_garments

        if found := read_from_record(self._desk, lambda store: recorded_garments(store, job)):
            self.title, self.garments = title, found
            self.list_garments(found if len(found) <= AT_ONCE else ())

    def list_garments(self, garments: Garments) -> None:
        """List some of the job's garments; for none, list the spans they are split into."""
        self.listed = garments
        self._desk.go(PageKind.CARD)

    def of_garment(self, garment: GarmentRow) -> None:
        """Show a garment's card, from its first part."""
        from kiosk.station.desk.shift.report_data import recorded_card

        job, line = garment.job, garment.line
        found = read_from_record(self._desk, lambda store: recorded_card(store, job, line))
        if found is not None:
            self.card = found
            self.turn(0)

    def turn(self, at: int) -> None:
        """Show another part of the card."""
        self.part = at
        self._desk.go(PageKind.CARD)

    def back(self) -> None:
        """Go one choice back; from the jobs to where it began."""
        if self.card is not None:
            self.card = None
        elif self.listed and len(self.garments) > AT_ONCE:
            self.listed = ()
        elif self.garments:
            self.garments, self.listed = (), ()
        else:
            self._desk.go(self._from)
            return
        self._desk.go(PageKind.CARD)


def card(desk: Desk, words: Words) -> Sheet:
    """Page of the next choice, or of the card."""
    cards = desk.of(Cards)
    back = Button(words("page.back"), cards.back)
    if cards.card is not None:
        return _part(cards, cards.card, words, back)
    if cards.garments:
        choices = _garments(cards, words) if cards.listed else _spans(cards, words)
        return Sheet(words("card.which"), choices=tuple(choices), left=back, headline=cards.title)
    line = () if cards.jobs else (words("card.no_job"),)
    return Sheet(words("page.jobs"), line, choices=tuple(_jobs(cards, words)), left=back)


def card_button(desk: Desk, words: Words) -> Button:
    """Return the button to the cards."""
    return Button(words("card.page"), desk.of(Cards).open, words("card.page_line"))


def _jobs(cards: Cards, words: Words) -> Iterator[Button]:
    for job, title, garments in cards.jobs:
        line = words("card.of_job", job=job, count=garments)
        yield Button(title or job, partial(cards.of_job, job, title or job), line)


def _spans(cards: Cards, words: Words) -> Iterator[Button]:
    """Yield the spans of numbers that a large job is split into."""
    for first in range(0, len(cards.garments), AT_ONCE):
        span = cards.garments[first : first + AT_ONCE]
        label = words("card.span", first=_label(span[0]), last=_label(span[-1]))
        yield Button(label, partial(cards.list_garments, span))


def _garments(cards: Cards, words: Words) -> Iterator[Button]:
    for garment in cards.listed:
        result = words(f"card.is.{garment.result.value}")
        line = words("card.of_line", line=garment.line, size=garment.size, result=result)
        yield Button(_label(garment), partial(cards.of_garment, garment), line)


def _label(garment: GarmentRow) -> str:
    return garment_label(garment.number, garment.line)


def _part(cards: Cards, report: Report, words: Words, back: Button) -> Sheet:
    """Return a part of the card: results first, then heat, checks, materials, decisions."""
    parts = tuple(_parts(report, words))
    go_on = Button(
        words("page.report_next"), partial(cards.turn, (cards.part + 1) % (len(parts) + 1))
    )
    title = words.say(report.title)
    if not cards.part:
        *before, last = map(words.say, report.record)
        lines = (*reversed(before), words.say(report.line))
        return Sheet(title, lines, headline=last, main=go_on, left=back)
    topic, nth = parts[cards.part - 1]
    sheet = sheet_of(topic, nth, words, go_on, back, ROWS)
    return replace(sheet, title=title, headline=sheet.title)


def _parts(report: Report, words: Words) -> Iterator[tuple[Topic, int]]:
    for topic in report.topics:
        for nth in range(max(1, len(pictures(topic, words, ROWS)))):
            yield topic, nth
