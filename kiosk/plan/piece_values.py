"""The most that a need can be worth when no pack is sold under the worth of what it holds.

That is the dual of the purchase as a linear program: no purchase costs less. Solved exactly,
in fractions, by the simplex method with Bland's rule, which ends.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

Row = list[Fraction]
ZERO = Fraction(0)


def piece_values(
    need: Mapping[str, int], offers: Sequence[tuple[int, Mapping[str, int]]]
) -> dict[str, Fraction]:
    """Return a value for each character of `need`, 0 for one that no offer holds.

    `offers` are prices with the pieces that each buys. For every offer the values of its pieces
    come to at most its price, and those of the need to as much as that leaves room for.
    """
    held = {c for _, pieces in offers for c in pieces}
    names = [c for c in need if c in held]
    table = [_row(n, len(offers), offer, names) for n, offer in enumerate(offers)]
    goal = [*(Fraction(-need[c]) for c in names), *[ZERO] * (len(offers) + 1)]
    basis = [len(names) + n for n in range(len(offers))]
    while (column := next((i for i, cell in enumerate(goal[:-1]) if cell < 0), None)) is not None:
        row = _leaving(table, basis, column)
        _pivot(table, goal, row, column)
        basis[row] = column
    found = {names[i]: table[n][-1] for n, i in enumerate(basis) if i < len(names)}
    return {c: found.get(c, ZERO) for c in need}


def _row(n: int, count: int, offer: tuple[int, Mapping[str, int]], names: Sequence[str]) -> Row:
    price, pieces = offer
    slack = [Fraction(n == other) for other in range(count)]
    return [*(Fraction(pieces.get(c, 0)) for c in names), *slack, Fraction(price)]


def _leaving(table: Sequence[Row], basis: Sequence[int], column: int) -> int:
    """The row that gives way: there is one, as every name is in an offer."""
    _, _, row = min(
        (each[-1] / each[column], basis[n], n) for n, each in enumerate(table) if each[column] > 0
    )
    return row


def _pivot(table: list[Row], goal: Row, row: int, column: int) -> None:
    by = table[row][column]
    own = table[row] = [cell / by for cell in table[row]]
    for other in (*table[:row], *table[row + 1 :], goal):
        factor = other[column]
        if factor:
            other[:] = [cell - factor * mine for cell, mine in zip(other, own, strict=True)]
