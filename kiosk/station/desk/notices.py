"""Notices over every page: a passing one, and a lasting one that somebody must see."""

from kiosk.catalog.base import Message

SECONDS = 4.0
READING_SECONDS = 9.0  # some 20 words at 150 a minute: what a trainee learns from
LASTING_SECONDS = 300.0  # for anyone who comes by


class Notices:
    """One passing and one lasting message, each shown until its second of the clock."""

    def __init__(self) -> None:
        self._messages: dict[bool, tuple[Message, float]] = {}

    def say(self, message: Message, clock: float, lasting: bool, seconds: float) -> None:
        """Show a message from now on, in place of the earlier one of its kind."""
        self._messages[lasting] = message, clock + (LASTING_SECONDS if lasting else seconds)

    def hush(self) -> None:
        """Remove the passing message; a lasting one stays."""
        self._messages.pop(False, None)

    def remove(self, id_: str) -> None:
        """Remove the lasting message with this id: what it asked for was done."""
        message, _ = self._messages.get(True, (None, 0.0))
        if message is not None and message.id == id_:
            del self._messages[True]

    def current(self, clock: float) -> list[Message]:
        """Return the messages shown at this second, the lasting one first."""
        in_order = [self._messages[key] for key in (True, False) if key in self._messages]
        return [message for message, until in in_order if clock < until]
