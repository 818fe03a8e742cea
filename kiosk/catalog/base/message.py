"""What the pure rooms say: a message id with its values, put into a language by kiosk.words."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Inches:
    """A length that words give in the shop's own unit."""

    inches: float


@dataclass(frozen=True, slots=True)
class Celsius:
    """A temperature that words give, in whole degrees, on the scale that is wanted."""

    degrees: float


Value: TypeAlias = "str | int | float | Inches | Celsius | Message | tuple[Value, ...] | None"
"""A `str` is always text that somebody wrote or a figure; what has a sentence is a `Message`."""


@dataclass(frozen=True, slots=True)
class Message:
    """An id of `kiosk.words` and the values that its sentence names. Never a finished sentence."""

    id: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash(self.id)  # a mapping has no hash; equal messages have equal ids


def say(id: str, **values: Value) -> Message:  # noqa: A002 - the field is called id everywhere
    """Return the message `id` with `values` by name."""
    return Message(id, values)
