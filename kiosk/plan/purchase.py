"""What to buy for a job, what is then left over, and what no pack holds.

Finds the cheapest packs and kits that cover a need, exactly, by branch and bound. Once the number
of each kit is fixed, every character is covered on its own from single-character packs, using a
small table of the cheapest cover of 0, 1, 2 … pieces. So only the numbers of the kits are searched.
A branch is dropped once the amount spent plus the value of what is still needed (see
`piece_values`) is no less than the best purchase found.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import Pack, Packs
from kiosk.plan.need import Drawer, Need

Counts = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class PackCover:
    """The cheapest packs: `price` in hundredths, `kits` by key, `singles` by key and character."""

    price: int
    kits: Mapping[str, int]
    singles: Mapping[tuple[str, str], int]


@dataclass(frozen=True, slots=True)
class _Table:
    """The cheapest cover of n pieces of one character: its price, and the pack bought last."""

    prices: tuple[int | None, ...]
    last: tuple[Pack | None, ...]


@dataclass(frozen=True, slots=True)
class _Values:
    """Values of the pieces as whole numbers; `parts` of them make a hundredth."""

    parts: int
    pieces: Counts


def coverable(need: Counts, packs: Sequence[Pack]) -> dict[str, int]:
    """Return the part of `need` whose characters are in some pack."""
    packed = {character for pack in packs for character in (*pack.mix, *pack.characters)}
    return {c: n for c, n in need.items() if n > 0 and c in packed}


def cheapest(need: Counts, packs: Sequence[Pack]) -> PackCover:
    """Return the cheapest purchase of `packs` that covers `need`, pieces by character.

    Exact; ties are always broken the same way. Raises ValueError if a character is in none of the
    packs (see `coverable`).
    """
    if coverable(need, packs) != dict(need):
        raise ValueError("a character is in no pack")
    kits = sorted((p for p in packs if any(c in need for c in p.mix)), key=lambda p: p.key)
    singles = {c: [p for p in packs if c in p.characters] for c in need}
    search = _Search(need, kits, singles)
    price, numbers = search.found()
    missing = need
    for kit, number in zip(kits, numbers, strict=True):
        missing = _after(missing, kit, number)
    singles_bought: dict[tuple[str, str], int] = {}
    for character, count in missing.items():
        for pack in _packs_for(search.tables[character], count):
            key = pack.key, character
            singles_bought[key] = singles_bought.get(key, 0) + 1
    return PackCover(
        price, {k.key: n for k, n in zip(kits, numbers, strict=True) if n}, singles_bought
    )


class _Search:
    """Depth-first search over the numbers of each kit that keeps the cheapest purchase."""

    def __init__(
        self, need: Counts, kits: Sequence[Pack], singles: Mapping[str, Sequence[Pack]]
    ) -> None:
        self.need = need
        self.kits = kits
        self.tables = {c: _table(n, singles[c]) for c, n in need.items()}
        depths = range(len(kits))
        self.values = [_values(need, kits[depth:], singles) for depth in depths]
        self.best: tuple[int, tuple[int, ...]] | None = None

    def found(self) -> tuple[int, tuple[int, ...]]:
        """Return the price of the cheapest purchase and the number of each kit."""
        self._go(0, self.need, 0, ())
        if self.best is None:
            raise AssertionError("every character is in a pack, so enough of them cover the need")
        return self.best

    def _go(self, depth: int, missing: Counts, spent: int, chosen: tuple[int, ...]) -> None:
        """Try every useful number of kit `depth`, largest first, then go on to the next kit."""
        if depth == len(self.kits):
            self._keep(missing, spent, chosen)
            return
        kit, values = self.kits[depth], self.values[depth]
        most = max((-(-missing[c] // n) for c, n in kit.mix.items() if c in missing), default=0)
        if self.best is not None and _least(spent, missing, values) >= self.best[0]:
            return
        for number in range(most, -1, -1):
            still_missing = _after(missing, kit, number)
            cost = spent + number * kit.price
            self._go(depth + 1, still_missing, cost, (*chosen, number))

    def _keep(self, missing: Counts, spent: int, chosen: tuple[int, ...]) -> None:
        for character, count in missing.items():
            price = self.tables[character].prices[count]
            if price is None:
                return
            spent += price
        if self.best is None or spent < self.best[0]:
            self.best = spent, chosen


def _least(spent: int, missing: Counts, values: _Values) -> int:
    """Return a lower bound of the price of any purchase that begins like this."""
    worth = sum(count * values.pieces[c] for c, count in missing.items())
    return spent - (-worth // values.parts)


def _values(need: Counts, kits: Sequence[Pack], singles: Mapping[str, Sequence[Pack]]) -> _Values:
    offers = [(kit.price, kit.mix) for kit in kits]
    offers += [(pack.price, {c: pack.of_one}) for c in need for pack in singles[c]]
    values = piece_values(need, offers)
    parts = math.lcm(*(value.denominator for value in values.values()))
    return _Values(parts, {c: int(value * Fraction(parts)) for c, value in values.items()})


def _table(most: int, packs: Sequence[Pack]) -> _Table:
    prices: list[int | None] = [0]
    last: list[Pack | None] = [None]
    for count in range(1, most + 1):
        ways = (
            (rest + pack.price, pack.of_one, pack.key, pack)
            for pack in packs
            if (rest := prices[max(0, count - pack.of_one)]) is not None
        )
        price, _, _, pack = min(ways, default=(None, 0, "", None), key=lambda way: way[:3])
        prices.append(price)
        last.append(pack)
    return _Table(tuple(prices), tuple(last))


def _packs_for(table: _Table, count: int) -> list[Pack]:
    found = []
    while count > 0 and (pack := table.last[count]) is not None:
        found.append(pack)
        count -= pack.of_one
    return found


def _after(missing: Counts, kit: Pack, number: int) -> Counts:
    """What is still needed after buying `number` of a kit; covered characters are dropped."""
    still_missing = {c: n - number * kit.mix.get(c, 0) for c, n in missing.items()}
    return {c: n for c, n in still_missing.items() if n > 0}


Row = list[int]
"""An equation, up to a factor, so that whole numbers are enough."""

ZERO = Fraction(0)


def piece_values(
    need: Mapping[str, int], offers: Sequence[tuple[int, Mapping[str, int]]]
) -> dict[str, Fraction]:
    """Return a value for each character of `need`, 0 for one that no offer holds.

    `offers` are prices, each with the pieces that it buys. No offer's pieces are worth more than
    its price, and within that the pieces needed are worth as much as possible.
    """
    offered = {c for _, pieces in offers for c in pieces}
    names = [c for c in need if c in offered]
    table = [_row(n, len(offers), offer, names) for n, offer in enumerate(offers)]
    goal = [*(-need[c] for c in names), *[0] * (len(offers) + 1)]
    basis = [len(names) + n for n in range(len(offers))]
    while (column := next((i for i, cell in enumerate(goal[:-1]) if cell < 0), None)) is not None:
        row = _leaving(table, basis, column)
        _pivot(table, goal, row, column)
        basis[row] = column
    found = {
        names[i]: Fraction(table[n][-1], table[n][i]) for n, i in enumerate(basis) if i < len(names)
    }
    return {c: found.get(c, ZERO) for c in need}


def _row(n: int, count: int, offer: tuple[int, Mapping[str, int]], names: Sequence[str]) -> Row:
    price, pieces = offer
    slack = [int(n == other) for other in range(count)]
    return [*(pieces.get(c, 0) for c in names), *slack, price]


def _leaving(table: Sequence[Row], basis: Sequence[int], column: int) -> int:
    """The row that leaves the basis; there always is one, as every name is in an offer."""
    return min(
        (Fraction(each[-1], each[column]), basis[n], n)
        for n, each in enumerate(table)
        if each[column] > 0
    )[-1]


def _pivot(table: list[Row], goal: Row, row: int, column: int) -> None:
    own, by = table[row], table[row][column]
    for other in (*table[:row], *table[row + 1 :], goal):
        factor = other[column]
        if factor:
            cells = [
                by * cell - factor * pivot_cell for cell, pivot_cell in zip(other, own, strict=True)
            ]
            shared = math.gcd(*cells) or 1
            other[:] = [cell // shared for cell in cells]


@dataclass(frozen=True, slots=True)
class PacksBought:
    """Packs of one kind for one drawer; `character` is empty for a kit. Prices in hundredths."""

    pack: Pack
    character: str
    count: int

    @property
    def price(self) -> int:
        """The price of all of them."""
        return self.count * self.pack.price

    def pieces(self) -> Counts:
        """Return what all of them hold, by character."""
        one_pack = {self.character: self.pack.of_one} if self.character else self.pack.mix
        return {c: n * self.count for c, n in one_pack.items()}


@dataclass(frozen=True, slots=True)
class Purchase:
    """The cheapest purchase for a drawer.

    `leftover` is what stock and packs hold beyond pieces and spares; `uncovered` is what is missing
    and in no pack: it must be cut or ordered separately.
    """

    drawer: Drawer
    bought: tuple[PacksBought, ...]
    leftover: Counts
    uncovered: Counts

    @property
    def price(self) -> int:
        """The total price, in hundredths."""
        return sum(each.price for each in self.bought)


def purchases(needs: Iterable[Need], packs: Packs) -> tuple[Purchase, ...]:
    """Return the cheapest purchase for each drawer, in the order of `needs`."""
    return tuple(_purchase(need, packs.packs) for need in needs)


def _purchase(need: Need, packs: Sequence[Pack]) -> Purchase:
    drawer, missing = need.drawer, need.shortage
    fitting = [p for p in packs if p.fits(drawer.material, drawer.colour, drawer.height_inches)]
    to_buy = coverable(missing, fitting)
    bought = _packs_of(cheapest(to_buy, fitting), fitting) if to_buy else ()
    uncovered = {c: n for c, n in missing.items() if c not in to_buy}
    return Purchase(drawer, bought, _leftover(need, bought), uncovered)


def _packs_of(cover: PackCover, packs: Sequence[Pack]) -> tuple[PacksBought, ...]:
    by_key = {pack.key: pack for pack in packs}
    kits = [PacksBought(by_key[key], "", count) for key, count in sorted(cover.kits.items())]
    singles = [
        PacksBought(by_key[key], character, count)
        for (key, character), count in sorted(cover.singles.items())
    ]
    return (*kits, *singles)


def _leftover(need: Need, bought: Iterable[PacksBought]) -> Counts:
    stock = dict(need.stock)
    for each in bought:
        for character, count in each.pieces().items():
            stock[character] = stock.get(character, 0) + count
    over = {c: n - need.total(c) for c, n in stock.items()}
    return {c: n for c, n in sorted(over.items()) if n > 0}
