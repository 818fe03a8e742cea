"""A page that asks why: one reason of a few, touched or stepped to."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words


def reasons(
    words: Words,
    title: str,
    ids: Iterable[str],
    act: Callable[[str], None],
    back: Callable[[], None],
) -> Sheet:
    """Return the page titled `title`; `act` gets the last part of the id that was chosen."""

    def choice(id_: str) -> Button:
        return Button(words(id_), lambda: act(id_.rpartition(".")[2]))

    return Sheet(
        title=words(title),
        choices=tuple(choice(id_) for id_ in ids),
        left=Button(words("page.back"), back),
    )
