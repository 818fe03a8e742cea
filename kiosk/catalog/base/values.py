"""Readers of single values at a spot: each returns a value or raises Unsound, its fault noted."""

import re
from collections.abc import Callable, Collection, Mapping
from datetime import date
from functools import partial
from itertools import pairwise
from typing import Generic, TypeVar

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Unsound, characters, listed, nearest_word, say, word_problem
from kiosk.catalog.base.quantities import Pressure, Seconds, Temperature
from kiosk.catalog.base.spots import Spot, attempt

T = TypeVar("T")
BOOL = "tag:yaml.org,2002:bool"


def flag(spot: Spot) -> bool:
    """Return True or False for an unquoted yes, no, true or false, as YAML 1.1 reads them."""
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
    """Return a date in ISO 8601: year-month-day."""
    text = spot.scalar()
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise spot.wrong(say("catalog.asked.date"), allowed=say("catalog.like.date")) from error


def source_date(spot: Spot) -> str:
    """Return the date of a source in ISO 8601: a day, a year and month, or a year."""
    text = spot.scalar()
    rest = {4: "-01-01", 7: "-01"}.get(len(text)) if re.fullmatch(r"\d{4}(-\d\d)?", text) else None
    try:
        iso = date.fromisoformat(f"{text}{rest or ''}").isoformat()
    except ValueError as error:
        like = say("catalog.like.source_date")
        raise spot.wrong(say("catalog.asked.date"), allowed=like) from error
    return text if rest else iso


@dataclass(frozen=True, slots=True)
class OneOf(Generic[T]):
    """A reader of one of the words of `choices`, spelled exactly so."""

    choices: Mapping[str, T]

    def __call__(self, spot: Spot) -> T:
        """Return the choice's value."""
        text = spot.scalar()
        if text not in self.choices:
            raise spot.wrong(
                say("catalog.asked.choice"),
                allowed=listed(self.choices),
                nearest=nearest_word(text, self.choices),
            )
        return self.choices[text]


@dataclass(frozen=True, slots=True)
class SomeOf(Generic[T]):
    """A reader of a list of one or more of the words of `choices`."""

    choices: Mapping[str, T]

    def __call__(self, spot: Spot) -> frozenset[T]:
        """Return the values of the words listed."""
        return frozenset(list_of(OneOf(self.choices))(spot))


def list_of(read_one: Callable[[Spot], T]) -> Callable[[Spot], tuple[T, ...]]:
    """Return a reader of a list of one or more items, each read by `read_one`; all are tried."""

    def read(spot: Spot) -> tuple[T, ...]:
        results = [attempt(read_one, item) for item in spot.items()]
        return tuple(g.value for g in results)

    return read


@dataclass(frozen=True, slots=True)
class OrNull(Generic[T]):
    """A reader that takes `null` for None and leaves the rest to `read`."""

    read: Callable[[Spot], T]

    def __call__(self, spot: Spot) -> T | None:
        """Return what `read` does, or None."""
        return None if spot.is_null else self.read(spot)


def whole(lowest: int, highest: int) -> Callable[[Spot], int]:
    """Return a reader of a whole number from `lowest` to `highest`."""

    def read(spot: Spot) -> int:
        text = spot.scalar()
        if not (text.isascii() and text.isdigit() and lowest <= int(text[:9]) <= highest):
            raise spot.wrong(say("catalog.asked.whole"), allowed=f"{lowest}–{highest}")
        return int(text)

    return read


@dataclass(frozen=True, slots=True)
class Amount(Generic[T]):
    """A reader of a number with one of `units`; `sides` is 2 for a rectangle (`a x b`)."""

    parse: Callable[[str], T]
    units: tuple[str, ...]
    sides: int = 1

    def __call__(self, spot: Spot) -> T:
        """Return the quantity."""
        try:
            return self.parse(spot.scalar())
        except amounts.WrongAmountError as error:
            wrong = spot.wrong(error.problem, allowed=error.allowed, nearest=error.nearest)
            raise wrong from error


_SCALES, _LENGTHS = ("F", "C"), ("in", "mm")
temperature = Amount(amounts.temperature, _SCALES)
setting = Amount(amounts.setting, _SCALES)
step = Amount(amounts.step, _SCALES)
seconds = Amount(amounts.seconds, ("s",))
some_seconds = Amount(amounts.some_seconds, ("s",))
duration = Amount(amounts.duration, tuple(amounts.IN_SECONDS))
length = Amount(amounts.length, _LENGTHS)
rectangle = Amount(amounts.rectangle, _LENGTHS, sides=2)


def quantity(unit: str, lowest: float, highest: float) -> Callable[[Spot], float]:
    """Return a reader of a number in `unit`, from `lowest` to `highest`."""
    return Amount(partial(amounts.amount, unit=unit, lowest=lowest, highest=highest), (unit,))


def in_order(spot: Spot, *named: tuple[str, Temperature | Seconds | Pressure]) -> None:
    """Note values that fall where they should rise; the map at `spot` holds them by name.

    If the first is above the last, only that is noted. Raises Unsound if one is out of order.
    """
    failed, ends = False, (named[0], named[-1]) if named else ()
    pairs = (ends,) if ends and _above(ends[0][1], ends[1][1]) else pairwise(named)
    for (first, low), (second, high) in pairs:
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
class KeyedEntries(Generic[T]):
    """The sound entries by key; `names` holds the keys of the faulty ones too.

    A reference to a faulty entry is not a second fault, so references are checked against
    `names`. It is None if the file could not be read at all.
    """

    sound: Mapping[str, T]
    names: frozenset[str] | None


def keyed(read_one: Callable[[str, Spot], T]) -> Callable[[Spot], KeyedEntries[T]]:
    """Return a reader of a map of one or more entries, each read by `read_one(key, spot)`."""

    def read(spot: Spot) -> KeyedEntries[T]:
        entries = spot.entries()
        if not entries:
            raise spot.wrong(say("catalog.asked.one"))
        results = {name: attempt(partial(read_one, name), entry) for name, entry in entries.items()}
        sound = {name: each.value for name, each in results.items() if each.sound}
        return KeyedEntries(sound, frozenset(entries))

    return read


def reference(
    names: frozenset[str] | None, sound: Collection[str] | None = None
) -> Callable[[Spot], str]:
    """Return a reader of a key that must be among `names`; None lets every key pass.

    If `sound` is given, a known key outside it is faulty where it is defined: the reader then
    raises Unsound without noting a second fault.
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


def character_set(spot: Spot) -> frozenset[str]:
    """Return the characters of the word at `spot`; raises Unsound if one occurs twice."""
    found = characters(spot.scalar())
    if len(set(found)) < len(found):
        twice = next(c for c in found if found.count(c) > 1)
        raise spot.wrong(say("catalog.letters.twice", character=twice))
    return frozenset(found)


def pieces(spot: Spot) -> Mapping[str, int]:
    """Return the pieces by character from the map at `spot`, each count at most MOST_PIECES."""
    found = {}
    for word, entry in spot.entries().items():
        one = characters(word)
        if len(one) != 1:
            raise entry.wrong(say("catalog.letters.one"))
        found[one[0]] = whole(0, MOST_PIECES)(entry)
    if not any(found.values()):
        raise spot.wrong(say("catalog.asked.one"))
    return found
