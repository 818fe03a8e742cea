"""What a station says over every page: a passing word, and one that somebody has to have seen."""

from kiosk.catalog.base import Message

SECONDS = 4.0
READING_SECONDS = 9.0  # some 20 words, 150 a minute: what a trainee learns from
LASTING_SECONDS = 300.0  # what somebody has to have seen, whoever comes by


class Notices:
    """One passing message and, beside it, a lasting one; each until its second of the clock."""

    def __init__(self) -> None:
        self._said: dict[bool, tuple[Message, float]] = {}

    def say(self, message: Message, clock: float, lasting: bool, seconds: float) -> None:
        """Show a message from this second on, in the place of the one before of its kind."""
        self._said[lasting] = message, clock + (LASTING_SECONDS if lasting else seconds)

    def hush(self) -> None:
        """Take the passing message away; one that lasts stays."""
        self._said.pop(False, None)

    def answered(self, asked: str) -> None:
        """Take away a lasting message of this id: what it asked for was done."""
        message, _ = self._said.get(True, (None, 0.0))
        if message is not None and message.id == asked:
            del self._said[True]

    def shown(self, clock: float) -> list[Message]:
        """Return what is to be seen at this second, what lasts first."""
        said = [self._said[lasting] for lasting in (True, False) if lasting in self._said]
        return [message for message, until in said if clock < until]
