"""The choices of a question: the right one among those that it is mistaken for."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import blake2b

from kiosk.catalog.sizes import BY_CODE
from kiosk.run.model import JobRun
from kiosk.run.twins import twin

MOST_SIZES = 8
FEWEST_SIZES = 4
NUMBERS = 6

SIZES = (
    *("YXS", "YS", "YM", "YL", "YXL"),
    *("XXS", "XS", "S", "M", "L", "XL", "XXL", "2XL", "3XL", "4XL", "5XL"),
)
"""Size codes by growing size: common practice, no source. Only fills up short lists."""

CODES = tuple(size.code for size in sorted(BY_CODE.values(), key=lambda size: size.rank))
"""The shop's own codes, AL for an adult L, by growing size."""


def size_choices(job: JobRun, right: str) -> tuple[str, ...]:
    """Return up to 8 size codes with `right`: the job's, and neighbours where these are few."""
    sizes = {t.garment.size for t in job.tickets.values()} - {right, ""}
    near = sorted(sizes, key=lambda size: (_steps_between(size, right), size))
    found = _distinct((right, *near), MOST_SIZES)
    if len(found) >= FEWEST_SIZES:
        return found
    usual = sorted(_table(right), key=lambda size: _steps_between(size, right))
    return _distinct((*found, *usual), FEWEST_SIZES)


def number_choices(job: JobRun, right: str) -> tuple[str, ...]:
    """Return 6 numbers with `right`: its twin, its digits swapped, the job's most like it."""
    others = {t.garment.number for t in job.tickets.values()} - {right, ""}
    alike = sorted(others, key=lambda n: (-_likeness(n, right), n))
    look = [twin(right) or "", right[::-1]]
    return _distinct((right, *look, *alike, *_neighbours(right)), NUMBERS)


def shuffled(choices: Iterable[str], ticket: str, tries: int) -> tuple[str, ...]:
    """Return the choices in an order that only ticket and tries decide: it stays between frames."""

    def lot(choice: str) -> bytes:
        return blake2b(f"{ticket}\n{tries}\n{choice}".encode(), digest_size=8).digest()

    return tuple(sorted(choices, key=lot))


def _table(right: str) -> tuple[str, ...]:
    """The sizes that `right` is one of: a label that says L is never offered as AL beside it."""
    return CODES if right in CODES else SIZES


def _steps_between(size: str, right: str) -> int:
    table = _table(right)
    if size not in table:
        return len(table)
    return abs(table.index(size) - table.index(right if right in table else "M"))


def _likeness(number: str, right: str) -> int:
    """Digits at the same place, two points each, and digits shared at all, one each."""
    same = sum(a == b for a, b in zip(number, right, strict=False))
    return 2 * same + len(set(number) & set(right)) - abs(len(number) - len(right))


def _neighbours(right: str) -> tuple[str, ...]:
    if not right.isdecimal():
        return tuple(str(n) for n in range(1, NUMBERS + 1))
    near = (int(right) + step for step in (1, -1, 10, 2, -2, 3, 4, 5))
    return tuple(str(n) for n in near if n >= 0)


def _distinct(candidates: Iterable[str], most: int) -> tuple[str, ...]:
    return tuple(dict.fromkeys(c for c in candidates if c))[:most]
