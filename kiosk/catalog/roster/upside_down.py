"""Numbers that read as another number upside down, as the operator may see them on the platen."""

from collections.abc import Collection

_TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}


def twin(number: str) -> str | None:
    """Return what `number` reads as upside down (16 for 91), or None if not another number."""
    if not number or any(digit not in _TURNED for digit in number):
        return None
    turned = "".join(_TURNED[digit] for digit in reversed(number))
    return None if turned == number else turned


def has_twin(number: str, numbers: Collection[str]) -> bool:
    """Return whether `number` upside down is another of `numbers`."""
    return twin(number) in numbers


def twins(numbers: Collection[str]) -> tuple[tuple[str, str], ...]:
    """Return the pairs of `numbers` that turn into each other, each pair once."""
    pairs = {(each, twin(each) or "") for each in numbers if has_twin(each, numbers)}
    return tuple(sorted(pair for pair in pairs if pair[0] < pair[1]))
