"""Keys to type with: digits for a PIN, letters for initials, both for a name."""

from string import ascii_uppercase

from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button
from kiosk.words import Words

PIN_LONGEST = 8
INITIALS_LONGEST = 3
KEYS = f"{ascii_uppercase}Ñ1234567890-,."  # of the keyboard, beside its blank


def digits(desk: Desk, words: Words, longest: int = PIN_LONGEST) -> tuple[Button, ...]:
    """Return a pad of ten digits and an eraser."""
    return (*_keys(desk, "1234567890", longest), Button(words("page.erase"), desk.erase))


def point(desk: Desk, words: Words, longest: int) -> Button:
    """Return the key of the language's decimal sign."""
    sign = words.number(".")
    return Button(sign, lambda: desk.type(sign, longest))


def letters(desk: Desk, words: Words) -> tuple[Button, ...]:
    """Return a pad of the alphabet and an eraser."""
    keys = _keys(desk, ascii_uppercase, INITIALS_LONGEST)
    return (*keys, Button(words("page.erase"), desk.erase))


def keyboard(desk: Desk, words: Words, longest: int) -> tuple[Button, ...]:
    """Return a pad of letters, digits, a few signs, a blank and an eraser."""
    return (
        *_keys(desk, KEYS, longest),
        Button(words("page.space"), lambda: desk.type(" ", longest)),
        Button(words("page.erase"), desk.erase),
    )


def _keys(desk: Desk, characters: str, longest: int) -> tuple[Button, ...]:
    def key(character: str) -> Button:
        return Button(character, lambda: desk.type(character, longest))

    return tuple(key(character) for character in characters)


def hidden(entry: str) -> str:
    """Return a PIN as it may be shown."""
    return "●" * len(entry)
