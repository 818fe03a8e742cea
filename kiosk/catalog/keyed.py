"""Reads a map of things by their keys, keeping what is sound and the names of all."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Generic, TypeVar

from kiosk.catalog.message import say
from kiosk.catalog.notes import Unsound, listed, nearest_word
from kiosk.catalog.spots import Spot, attempt
from kiosk.catalog.values import word

T = TypeVar("T")


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
