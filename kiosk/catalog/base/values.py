"""Readers of single values at a spot: each returns its value or raises Unsound, noted."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import pairwise
from typing import Generic, TypeVar

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import Unsound, listed, nearest_word, word_problem
from kiosk.catalog.base.quantities import Length, Pressure, Seconds, Temperature, TemperatureStep
from kiosk.catalog.base.spots import Spot, attempt

T = TypeVar("T")
BOOL = "tag:yaml.org,2002:bool"


def flag(spot: Spot) -> bool:
    """Return the truth of yes, no, true or false, as YAML 1.1 reads them, unquoted."""
    text = spot.scalar()
    if spot.node.tag != BOOL:
        raise spot.wrong(say("catalog.asked.flag"), allowed="yes, no")
    return text.lower() in {"yes", "true", "on"}


def word(spot: Spot) -> str:
    """Return a name or title."""
    text = spot.scalar()
    if spot.node.tag == BOOL:
        raise spot.wrong(say("catalog.asked.quotes"))
    problem = word_problem(text)
    if problem is not None:
        raise spot.wrong(problem)
    return text


def day(spot: Spot) -> str:
    """Return a date as ISO 8601 writes it, year-month-day."""
    text = spot.scalar()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise spot.wrong(say("catalog.asked.date"), allowed=say("catalog.like.date")) from error


def one_of(choices: Mapping[str, T]) -> Callable[[Spot], T]:
    """Return a reader of one of the words of `choices`, exactly as they are spelled."""

    def read(spot: Spot) -> T:
        text = spot.scalar()
        if text not in choices:
            raise spot.wrong(
                say("catalog.asked.choice"),
                allowed=listed(choices),
                nearest=nearest_word(text, choices),
            )
        return choices[text]

    return read


def some_of(choices: Mapping[str, T]) -> Callable[[Spot], frozenset[T]]:
    """Return a reader of a list of one or more of the words of `choices`."""
    read_one = one_of(choices)

    def read(spot: Spot) -> frozenset[T]:
        return frozenset(every(read_one)(spot))

    return read


def every(read_one: Callable[[Spot], T]) -> Callable[[Spot], tuple[T, ...]]:
    """Return a reader of a list of one or more, each read by `read_one`; all are tried."""

    def read(spot: Spot) -> tuple[T, ...]:
        got = [attempt(read_one, item) for item in spot.items()]
        return tuple(g.value for g in got)

    return read


def or_null(read_one: Callable[[Spot], T]) -> Callable[[Spot], T | None]:
    """Return a reader that takes `null` for None and leaves the rest to `read_one`."""

    def read(spot: Spot) -> T | None:
        return None if spot.is_null else read_one(spot)

    return read


def whole(lowest: int, highest: int) -> Callable[[Spot], int]:
    """Return a reader of a whole number between two, both included."""

    def read(spot: Spot) -> int:
        text = spot.scalar()
        if not (text.isascii() and text.isdigit() and lowest <= int(text[:9]) <= highest):
            raise spot.wrong(say("catalog.asked.whole"), allowed=f"{lowest}–{highest}")
        return int(text)

    return read


def _amount(parse: Callable[[str], T]) -> Callable[[Spot], T]:
    def read(spot: Spot) -> T:
        try:
            return parse(spot.scalar())
        except amounts.WrongAmountError as error:
            raise spot.wrong(error.problem, allowed=error.allowed) from error

    return read


temperature: Callable[[Spot], Temperature] = _amount(amounts.temperature)
step: Callable[[Spot], TemperatureStep] = _amount(amounts.step)
seconds: Callable[[Spot], Seconds] = _amount(amounts.seconds)
duration: Callable[[Spot], Seconds] = _amount(amounts.duration)
length: Callable[[Spot], Length] = _amount(amounts.length)
rectangle: Callable[[Spot], tuple[Length, Length]] = _amount(amounts.rectangle)


def quantity(unit: str, lowest: float, highest: float) -> Callable[[Spot], float]:
    """Return a reader of a number in `unit` between two, both included."""
    return _amount(partial(amounts.amount, unit=unit, lowest=lowest, highest=highest))


def some_seconds(spot: Spot) -> Seconds:
    """Return a time of at least one second: settings are solved in whole seconds."""
    time = seconds(spot)
    if time.value < 1:
        raise spot.wrong(say("catalog.amount.range"), allowed=say("catalog.range.some_seconds"))
    return time


def in_order(spot: Spot, *named: tuple[str, Temperature | Seconds | Pressure]) -> None:
    """Note values that fall where they should rise; the map at `spot` holds them by name.

    Raises Unsound where one is out of order.
    """
    failed = False
    for (first, low), (second, high) in pairwise(named):
        if _above(low, high):
            failed = True
            spot.notes.add(
                say("catalog.order", first=first, second=second),
                line=spot.line,
                key=f"{spot.key}.{first}",
                found=f"{first}: {_text(low)}, {second}: {_text(high)}",
            )
    if failed:
        raise Unsound


def _above(low: Temperature | Seconds | Pressure, high: Temperature | Seconds | Pressure) -> bool:
    if isinstance(low, Temperature) and isinstance(high, Temperature):
        return low.value > high.exact_in(low.unit)
    if isinstance(low, Seconds) and isinstance(high, Seconds):
        return low.value > high.value
    return isinstance(low, Pressure) and isinstance(high, Pressure) and low > high


def _text(value: Temperature | Seconds | Pressure) -> str:
    return value.word if isinstance(value, Pressure) else value.text


@dataclass(frozen=True, slots=True)
class Keyed(Generic[T]):
    """The sound things by key; `names` holds the keys of the faulty ones too.

    A reference to a faulty thing is no second fault, so references are checked against
    `names`. It is None where the file could not be read at all.
    """

    sound: Mapping[str, T]
    names: frozenset[str] | None


def keyed(read_one: Callable[[str, Spot], T]) -> Callable[[Spot], Keyed[T]]:
    """Return a reader of a map of one or more, each entry read by `read_one(key, spot)`."""

    def read(spot: Spot) -> Keyed[T]:
        entries = spot.entries()
        if not entries:
            raise spot.wrong(say("catalog.asked.one"))
        got = {name: attempt(partial(read_one, name), entry) for name, entry in entries.items()}
        sound = {name: each.value for name, each in got.items() if each.sound}
        return Keyed(sound, frozenset(entries))

    return read


def reference(
    names: frozenset[str] | None, sound: Collection[str] | None = None
) -> Callable[[Spot], str]:
    """Return a reader of a key that must be among `names`; None lets every key pass.

    One that is not among `sound`, where that is given, has a fault where it is written: it is
    Unsound here without a second one.
    """

    def read(spot: Spot) -> str:
        key = word(spot)
        if sound is not None and key not in sound and (names is None or key in names):
            raise Unsound
        if names is not None and key not in names:
            raise spot.wrong(
                say("catalog.asked.known"),
                allowed=listed(sorted(names)),
                nearest=nearest_word(key, names),
            )
        return key

    return read


MOST_PIECES = 9_999


def characters(text: str) -> list[str]:
    """Return the characters to pull for `text`: accents stay on their letter, spaces need none."""
    if text.isascii():  # nearly all are, and a roster has thousands
        return [character for character in text if not character.isspace()]
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        elif not character.isspace():
            found.append(character)
    return found


def character_set(spot: Spot) -> frozenset[str]:
    """Return the characters that stand at `spot` in one word; Unsound where one stands twice."""
    found = characters(spot.scalar())
    if len(set(found)) < len(found):
        twice = next(c for c in found if found.count(c) > 1)
        raise spot.wrong(say("catalog.letters.twice", character=twice))
    return frozenset(found)


def pieces(spot: Spot) -> Mapping[str, int]:
    """Return how many of each character a map at `spot` holds, each at most MOST_PIECES."""
    found = {}
    for word, entry in spot.entries().items():
        one = characters(word)
        if len(one) != 1:
            raise entry.wrong(say("catalog.letters.one"))
        found[one[0]] = whole(0, MOST_PIECES)(entry)
    if not any(found.values()):
        raise spot.wrong(say("catalog.asked.one"))
    return found
