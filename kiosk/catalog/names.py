"""What may serve as a name, a title or a key."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.catalog.notes import Notes, is_plain

LONGEST_WORD = 80


def word_problem(text: str) -> Message | None:
    """Return why `text` is no name or title, or None."""
    if not text or len(text) > LONGEST_WORD:
        return say("catalog.word.length", most=LONGEST_WORD)
    if not all(map(is_plain, text)):
        return say("catalog.word.characters")
    return None


def check_name(name: str, notes: Notes) -> None:
    """Note a file's or folder's name that cannot serve as a key; raises Unsound then."""
    problem = word_problem(name)
    if problem is not None:
        raise notes.add(problem, found=name)
