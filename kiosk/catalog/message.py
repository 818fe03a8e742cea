"""What the pure rooms say: a message id with its values, put into a language by kiosk.words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Message:
    """An id of `kiosk.words` and the values that its sentence names. Never a finished sentence.

    A value may be a message itself; one that is kept in a record may not.
    """

    id: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash(self.id)  # a mapping has no hash; equal messages have equal ids


Value = str | int | float | tuple["Value", ...] | Message | None


def say(id: str, **values: Value) -> Message:  # noqa: A002 - the field is called id everywhere
    """Return the message `id` with `values` by name."""
    return Message(id, values)
