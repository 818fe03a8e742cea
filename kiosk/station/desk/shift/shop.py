"""The shop's server as the supervisor sees it: what waits to be sent, what is at other presses."""

import time
from collections.abc import Iterator
from typing import Any

from kiosk.catalog.base import say
from kiosk.run.facts import called_as
from kiosk.run.state import JobRun
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.jobs.apart import told as told_apart
from kiosk.station.desk.jobs.claims import AtServer
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.words import Words


def told(desk: Desk, words: Words) -> str:
    """Return in brief how the sending stands, "" where the shop has no server."""
    if desk.beside is None:
        return ""
    waits = _waiting(desk)
    state = desk.beside.standing.state
    if state == "away" and waits is None:
        return words("shop.told.away_unknown")
    if state == "sent" and not waits:
        return words("shop.told.all")
    return words(f"shop.told.{state}", count=waits or 0)


def button(desk: Desk, words: Words) -> Iterator[Button]:
    """Yield the way to its page, where the shop has a server."""
    if desk.beside is not None:
        line = told(desk, words)
        yield Button(words("shop.page"), lambda: desk.of(GivingBack).look_at(None), line)


def needs_somebody(desk: Desk) -> bool:
    """Whether no waiting mends it."""
    return desk.beside is not None and desk.beside.standing.state in ("parted", "wrong")


class GivingBack:
    """A batch of another press that a supervisor looks at, and the lines that stay out."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.batch: dict[str, Any] | None = None
        self.pressed: tuple[str, ...] = ()  # as known
        self.stays: frozenset[str] = frozenset()

    def look_at(self, batch: dict[str, Any] | None) -> None:
        """Open a batch; None for the list of them."""
        self.batch, self.stays = batch, frozenset()
        self._desk.go(Page.SHOP)

    def turn(self, line: str) -> None:
        """Say of a garment that it is pressed, or that it is not."""
        self.stays ^= {line}

    def give(self) -> None:
        """Give what is not pressed back to all presses."""
        batch = self.batch
        if batch is None:
            return
        stays = [*_pressed(self._desk, batch)[0], *self.stays]
        server = self._desk.of(AtServer)

        def done(answered: bool) -> None:
            self._desk.shell.say(say("shop.batch.given") if answered else server.unanswered)
            if self._desk.page is Page.SHOP and self.batch is batch:  # nobody left it meanwhile
                self.look_at(None)

        server.give_back(batch["batch"], stays, done)


def shop(desk: Desk, words: Words) -> Sheet:
    """How the sending stands, in full, and the batches that other presses have; or one of those."""
    batch = desk.of(GivingBack).batch
    if batch is not None:
        return _batch(desk, words, batch)
    answer = desk.of(AtServer).answer
    batches = () if answer is None else answer["batches"]
    there = [b for b in batches if b["name"] and not b["ours"] and not b["done"]]
    elsewhere = [batch for batch in there if batch["garments"]]
    return Sheet(
        title=words("shop.page"),
        headline=told(desk, words),
        lines=(*_lines(desk, words), *shared(desk, words), *_plans(desk, words)),
        choices=tuple(_choice(desk, words, each) for each in elsewhere),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _plans(desk: Desk, words: Words) -> Iterator[str]:
    """Yield by which other plan a shared job at the press is pressed elsewhere."""
    server = desk.of(AtServer)
    if server.answer is not None and server.plan:
        yield from map(words.say, told_apart(server.answer, server.plan))


def _lines(desk: Desk, words: Words) -> Iterator[str]:
    standing = desk.beside.standing if desk.beside is not None else None
    if standing is None:
        return
    if standing.at is not None and standing.state != "sent":
        yield words("shop.page.reached", when=_moment(standing.at))
    if standing.message is not None:
        yield words.say(standing.message)
    if standing.state != "sent":
        yield words("shop.page.works_on")


def shared(desk: Desk, words: Words) -> Iterator[str]:
    """Yield how far a shared job at the press is, and where the rest of it is."""
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
    """Garments of the whole order: done, and those that are not: here, elsewhere, not taken."""
    left = {"left": 0, "others": 0, "open": 0}
    for batch in answer["batches"]:
        if not batch["done"]:
            where = "left" if batch["ours"] else "others" if batch["name"] else "open"
            left[where] += len(batch["garments"])
    return {"whole": job.whole, "done": job.whole - sum(left.values()), **left}


def _choice(desk: Desk, words: Words, batch: dict[str, Any]) -> Button:
    pressed, sent = _pressed(desk, batch)
    at = words("shop.batch.never") if sent is None else _moment(sent)
    return Button(
        words("shop.batch", count=len(batch["garments"]), name=batch["name"]),
        lambda: desk.of(GivingBack).look_at(batch),
        words("shop.batch.known", count=len(pressed), when=at),
    )


def _batch(desk: Desk, words: Words, batch: dict[str, Any]) -> Sheet:
    """What is known of a batch elsewhere, and which of its garments go back."""
    giving = desk.of(GivingBack)
    pressed, sent = _pressed(desk, batch)
    names = {row[0]: called_as(row[1], row[0], row[4]) for row in batch["garments"]}
    rest = [line for line in names if line not in pressed]
    back = len(rest) - len(giving.stays)
    at = words("shop.batch.never") if sent is None else _moment(sent)

    def choice(line: str) -> Button:
        state = words("shop.batch.stays" if line in giving.stays else "shop.batch.goes")
        label = words("page.look_at", number=names[line])
        return Button(label, lambda: giving.turn(line), state)

    known = tuple(names[line] for line in names if line in pressed)
    headline = words("shop.batch.pressed", numbers=known) if known else words("shop.batch.none")
    return Sheet(
        title=words("shop.batch", count=len(names), name=batch["name"]),
        headline=headline,
        lines=(words("shop.batch.sent", when=at), words("shop.batch.look")),
        choices=tuple(choice(line) for line in rest),
        main=Button(words("shop.batch.give", count=back), giving.give) if back else None,
        left=Button(words("page.back"), lambda: giving.look_at(None)),
    )


def _pressed(desk: Desk, batch: dict[str, Any]) -> tuple[frozenset[str], float | None]:
    """The lines of a batch that are known to be pressed, and as of when (wall seconds)."""
    answer = desk.of(AtServer).answer
    others = [] if answer is None else [o for o in answer["others"] if o["name"] == batch["name"]]
    lines = {line for other in others for line in other["lines"]}
    sent = [other["sent"] for other in others if other["sent"] is not None]
    return frozenset(lines & {row[0] for row in batch["garments"]}), max(sent, default=None)


def _moment(wall: float) -> str:
    return time.strftime("%Y-%m-%d %H:%M", time.localtime(wall))


def _waiting(desk: Desk) -> int | None:
    """How many events the server has not, None where it was not reached since the start."""
    last = desk.beside.standing.last if desk.beside is not None else None
    return None if last is None else max(0, desk.shell.recorder.last - last)
