"""The shop's server for the supervisor: what waits to be sent, what other presses have."""

import time
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from kiosk.catalog.base import say
from kiosk.run.facts import garment_label
from kiosk.run.state import JobRun
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import plan_differences
from kiosk.station.desk.jobs.at_server import AtServer, is_elsewhere
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.words import Words


def sending_line(desk: Desk, words: Words) -> str:
    """Return the state of the sending in brief, "" if the shop has no server."""
    if desk.sending is None:
        return ""
    waiting = _waiting(desk)
    state = desk.sending.status.state
    if state == "away" and waiting is None:
        return words("shop.told.away_unknown")
    if state == "sent" and not waiting:
        return words("shop.told.all")
    return words(f"shop.told.{state}", count=waiting or 0)


def button(desk: Desk, words: Words) -> Iterator[Button]:
    """Yield the button to the server's page, if the shop has a server."""
    if desk.sending is not None:
        line = sending_line(desk, words)
        yield Button(words("shop.page"), desk.of(GivingBack).open, line)


def needs_somebody(desk: Desk) -> bool:
    """Return whether the sending stays broken until someone acts."""
    return desk.sending is not None and desk.sending.status.state in ("parted", "wrong")


Join = Callable[[int, list[str]], None]
"""Begins a job with a batch given back: gets its number and the lines that stay out."""


class BatchProgress(NamedTuple):
    """Lines of a batch known as pressed, those of them unfinished, and as of when (wall time)."""

    pressed: frozenset[str]
    unfinished: frozenset[str]
    sent: float | None

    @property
    def finished(self) -> frozenset[str]:
        """Lines with nothing left to do."""
        return self.pressed - self.unfinished

    def as_of(self, words: Words) -> str:
        """Return as of when this is known, in words."""
        return words("shop.batch.never") if self.sent is None else _moment(self.sent)


class GivingBack:
    """Another press's batch that a supervisor looks at, and the lines that were touched."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._full: dict[str, Any] | None = None
        self._join: Join | None = None
        self.batch: dict[str, Any] | None = None
        self._marked: frozenset[str] = frozenset()

    def open(self, full: dict[str, Any] | None = None, join: Join | None = None) -> None:
        """Show what other presses have of the job at the press.

        With `full`, the server's answer about a job with nothing to share, show that job: `join`
        begins it here with what is given back.
        """
        self._full, self._join = full, join
        self.look_at(None)

    @property
    def answer(self) -> dict[str, Any] | None:
        """The server's latest answer about that job."""
        return self._full or self._desk.of(AtServer).answer

    def leave(self) -> None:
        """Return to where it was opened."""
        self._desk.go(PageKind.SET_UP if self._full else PageKind.SUPERVISOR)

    def look_at(self, batch: dict[str, Any] | None) -> None:
        """Open a batch; None for the list of them."""
        self.batch, self._marked = batch, frozenset()
        self._desk.go(PageKind.SHOP)

    def mark(self, line: str) -> None:
        """Mark a garment as other than known: it stays out, or it goes back."""
        self._marked ^= {line}

    def stays_out(self, line: str, progress: BatchProgress) -> bool:
        """Return whether a garment of the batch stays out."""
        return line in progress.finished or (line in progress.unfinished) is not (
            line in self._marked
        )

    def give(self) -> None:
        """Give the garments not pressed yet back, for any press to take."""
        batch = self.batch
        if batch is None:
            return
        server, progress = self._desk.of(AtServer), _progress_of(self.answer, batch)
        lines_kept = [line for line, *_ in batch["garments"] if self.stays_out(line, progress)]
        if self._join is not None:
            self._join(batch["batch"], lines_kept)
            return

        def done(succeeded: bool) -> None:
            self._desk.shell.say(say("shop.batch.given") if succeeded else server.unanswered)
            if self._desk.page is PageKind.SHOP and self.batch is batch:  # still on this page
                self.look_at(None)

        server.give_back(batch["batch"], lines_kept, done)


def shop(desk: Desk, words: Words) -> Sheet:
    """Page of the sending in full with the batches at other presses, or of one batch."""
    giving = desk.of(GivingBack)
    if giving.batch is not None:
        return _batch(desk, words, giving.batch)
    batches = () if giving.answer is None else giving.answer["batches"]
    return Sheet(
        title=words("shop.page"),
        headline=sending_line(desk, words),
        lines=(*_lines(desk, words), *shared_lines(desk, words), *_plans(desk, words)),
        choices=tuple(_choice(desk, words, each) for each in filter(is_elsewhere, batches)),
        left=Button(words("page.back"), giving.leave),
    )


def _plans(desk: Desk, words: Words) -> Iterator[str]:
    """Yield the other plans that a shared job at the press is pressed by elsewhere."""
    server = desk.of(AtServer)
    if server.answer is not None and server.plan:
        yield from map(words.say, plan_differences(server.answer, server.plan))


def _lines(desk: Desk, words: Words) -> Iterator[str]:
    status = desk.sending.status if desk.sending is not None else None
    if status is None:
        return
    if status.at is not None and status.state != "sent":
        yield words("shop.page.reached", when=_moment(status.at))
    if status.message is not None:
        yield words.say(status.message)
    if status.state not in ("sent", "parted"):
        yield words("shop.page.works_on")


def shared_lines(desk: Desk, words: Words) -> Iterator[str]:
    """Yield the progress of a shared job at the press, and where the rest of it is."""
    job, answer = desk.shell.state.job, desk.of(AtServer).answer
    if job is None or not job.batches:
        return
    if answer is None:
        yield words("page.shared_away")
        return
    yield words("page.shared", **_counts(job, answer))
    if lost := tuple(str(each["batch"]) for each in answer["batches"] if not each["garments"]):
        yield words("page.shared_lost", batches=lost)


def _counts(job: JobRun, answer: dict[str, Any]) -> dict[str, int]:
    """Return garment counts of the whole order: done, left here, at others, not taken.

    In a batch given back, garments that stayed with their press may still be unfinished there.
    """
    counts = {"left": 0, "others": 0, "open": 0}
    for batch in answer["batches"]:
        if batch["done"]:
            counts["others"] += len(_progress_of(answer, batch).unfinished)
        else:
            where = "left" if batch["ours"] else "others" if batch["name"] else "open"
            counts[where] += len(batch["garments"])
    return {"whole": job.whole, "done": job.whole - sum(counts.values()), **counts}


def _choice(desk: Desk, words: Words, batch: dict[str, Any]) -> Button:
    progress = _progress_of(desk.of(GivingBack).answer, batch)
    return Button(
        words("shop.batch", count=len(batch["garments"]), name=batch["name"]),
        lambda: desk.of(GivingBack).look_at(batch),
        words("shop.batch.known", count=len(progress.pressed), when=progress.as_of(words)),
    )


def _batch(desk: Desk, words: Words, batch: dict[str, Any]) -> Sheet:
    """Page of a batch elsewhere: what is known of it, and which garments go back."""
    giving = desk.of(GivingBack)
    progress = _progress_of(giving.answer, batch)
    names = _names(batch["garments"])
    count = sum(not giving.stays_out(line, progress) for line in names)

    def choice(line: str) -> Button:
        word = "unfinished" if line in progress.unfinished else "stays"
        state = words(
            f"shop.batch.{word}" if giving.stays_out(line, progress) else "shop.batch.goes"
        )
        label = words("page.look_at", number=names[line])
        return Button(label, lambda: giving.mark(line), state)

    lists = tuple(
        words(f"shop.batch.{key}", numbers=tuple(names[line] for line in names if line in lines))
        for key, lines in (("pressed", progress.finished), ("unfinished_line", progress.unfinished))
        if lines
    )
    headline, *more = lists or (words("shop.batch.none"),)
    return Sheet(
        title=words("shop.batch", count=len(names), name=batch["name"]),
        headline=headline,
        lines=(
            *more,
            words("shop.batch.sent", when=progress.as_of(words)),
            words("shop.batch.look"),
        ),
        choices=tuple(choice(line) for line in names if line not in progress.finished),
        main=Button(words("shop.batch.give", count=count), giving.give) if count else None,
        left=Button(words("page.back"), lambda: giving.look_at(None)),
    )


def _names(garments: list[list[str]]) -> dict[str, str]:
    """Return the names of a batch's garments by line; two of one name also get their line."""
    names = {row[0]: garment_label(row[1], row[0], row[4]) for row in garments}
    counts = Counter(names.values())
    return {line: f"{name} #{line}" if counts[name] > 1 else name for line, name in names.items()}


def _progress_of(answer: dict[str, Any] | None, batch: dict[str, Any]) -> BatchProgress:
    """Return what is known of a batch at its press."""
    others = [] if answer is None else [o for o in answer["others"] if o["name"] == batch["name"]]
    lines = {row[0] for row in batch["garments"]}
    pressed, unfinished = (
        lines.intersection(line for other in others for line in other[key])
        for key in ("lines", "unfinished")
    )
    sent = [other["sent"] for other in others if other["sent"] is not None]
    return BatchProgress(frozenset(pressed), frozenset(unfinished), max(sent, default=None))


def _moment(wall: float) -> str:
    return time.strftime("%Y-%m-%d %H:%M", time.localtime(wall))


def _waiting(desk: Desk) -> int | None:
    """Return how many events the server lacks, or None if it was not reached since the start."""
    last = desk.sending.status.last if desk.sending is not None else None
    return None if last is None else max(0, desk.shell.recorder.last - last)
