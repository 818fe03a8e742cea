"""The shop's server as the supervisor sees it: what waits to be sent, and why."""

import time
from collections.abc import Iterator

from kiosk.station.desk.desk import Desk
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
        yield Button(words("shop.page"), lambda: desk.go(Page.SHOP), line)


def needs_somebody(desk: Desk) -> bool:
    """Whether no waiting mends it."""
    return desk.beside is not None and desk.beside.standing.state in ("parted", "wrong")


def shop(desk: Desk, words: Words) -> Sheet:
    """How the sending stands, in full."""
    return Sheet(
        title=words("shop.page"),
        headline=told(desk, words),
        lines=tuple(_lines(desk, words)),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _lines(desk: Desk, words: Words) -> Iterator[str]:
    standing = desk.beside.standing if desk.beside is not None else None
    if standing is None:
        return
    if standing.at is not None and standing.state != "sent":
        at = time.strftime("%Y-%m-%d %H:%M", time.localtime(standing.at))
        yield words("shop.page.reached", at=at)
    if standing.message is not None:
        yield words.say(standing.message)
    if standing.state != "sent":
        yield words("shop.page.works_on")


def _waiting(desk: Desk) -> int | None:
    """How many events the server has not, None where it was not reached since the start."""
    last = desk.beside.standing.last if desk.beside is not None else None
    return None if last is None else max(0, desk.shell.recorder.last - last)
