"""Numbers that read as another number when the shirt, or the reader, is upside down."""

from __future__ import annotations

from collections.abc import Collection

_TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


def twin(number: str) -> str | None:
    """Return what `number` reads as upside down: 16 for 91; None where it is not another one.

    Only digits that are digits when turned count: 0, 1, 6, 8 and 9.
    """
    if not number or any(digit not in _TURNED for digit in number):
        return None
    turned = "".join(_TURNED[digit] for digit in reversed(number))
    return None if turned == number else turned


def has_twin(number: str, numbers: Collection[str]) -> bool:
    """Return whether `number` upside down is another one of `numbers`."""
    return twin(number) in numbers
