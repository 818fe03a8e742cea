"""The cheapest purchase costs what scipy's integer program finds, and what is counted by hand.

Reference: scipy.optimize.milp (HiGHS), one integer for each kit and for each pack of one character,
every piece covered.
"""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest

from kiosk.catalog.model.rules import Pack
from kiosk.plan.purchase import PackCover, cheapest, coverable

DIGITS = "0123456789"
FIVE = Pack("five", "Five of one", 450, of_one=5, characters=frozenset(DIGITS))
KIT = Pack("kit", "Kit of 60", 3600, mix=dict.fromkeys(DIGITS, 6))


def reference_price(need: dict[str, int], packs: list[Pack]) -> int:
    from scipy.optimize import Bounds, LinearConstraint, milp  # slow import: not at collection

    offers: list[tuple[int, dict[str, int]]] = []
    for pack in packs:
        if pack.mix:
            offers.append((pack.price, dict(pack.mix)))
        offers += [(pack.price, {c: pack.of_one}) for c in need if c in pack.characters]
    rows = [[pieces.get(c, 0) for _, pieces in offers] for c in need]
    found = milp(
        c=np.array([price for price, _ in offers]),
        constraints=LinearConstraint(np.array(rows), lb=np.array(list(need.values()))),
        integrality=np.ones(len(offers)),
        bounds=Bounds(lb=0),
        options={"mip_rel_gap": 0},
    )
    assert found.success
    return round(float(found.fun))


def pieces_of(cover: PackCover, packs: list[Pack]) -> Counter[str]:
    by_key = {pack.key: pack for pack in packs}
    pieces: Counter[str] = Counter()
    for key, number in cover.kits.items():
        pieces.update({c: n * number for c, n in by_key[key].mix.items()})
    for (key, character), number in cover.singles.items():
        pieces[character] += by_key[key].of_one * number
    return pieces


def price_of(cover: PackCover, packs: list[Pack]) -> int:
    by_key = {pack.key: pack for pack in packs}
    numbers = [*cover.kits.items(), *((key, n) for (key, _), n in cover.singles.items())]
    return sum(by_key[key].price * n for key, n in numbers)


def random_roster_need(rng: random.Random) -> dict[str, int]:
    numbers = rng.sample(range(100), rng.randint(1, 60))
    spare = rng.randint(0, 2)
    counts = Counter("".join(map(str, numbers)))
    return {digit: n + spare for digit, n in sorted(counts.items())}


def random_packs(rng: random.Random) -> list[Pack]:
    packs = [
        Pack(
            f"pack-{n}",
            "",
            rng.randint(90, 900),
            of_one=rng.choice([1, 2, 5, 10]),
            characters=frozenset(DIGITS if rng.random() < 0.7 else rng.sample(DIGITS, 5)),
        )
        for n in range(rng.randint(0, 3))
    ]
    packs += [
        Pack(f"kit-{n}", "", rng.randint(500, 6000), mix=random_mix(rng))
        for n in range(rng.randint(0 if packs else 1, 3))
    ]
    return packs


def random_mix(rng: random.Random) -> dict[str, int]:
    mix = Counter(rng.choices(DIGITS, weights=[rng.random() + 0.1 for _ in DIGITS], k=60))
    return dict(sorted(mix.items()))


@pytest.mark.parametrize("seed", range(10))
def test_no_purchase_is_cheaper_on_50_random_rosters(seed: int) -> None:
    rng = random.Random(seed)
    compared = 0
    while compared < 50:
        packs = random_packs(rng)
        need = coverable(random_roster_need(rng), packs)
        if not need:
            continue
        compared += 1
        cover = cheapest(need, packs)
        pieces = pieces_of(cover, packs)
        assert all(pieces[c] >= n for c, n in need.items()), (need, packs)
        assert cover.price == price_of(cover, packs) == reference_price(need, packs), (need, packs)


def test_a_kit_and_an_extra_pack_match_a_count_by_hand() -> None:
    # One kit (36.00) leaves 1×"1": a pack for 4.50. Packs alone: 2 for "1", 2 each for nine others.
    need = dict.fromkeys(DIGITS, 6) | {"1": 7}
    cover = cheapest(need, [FIVE, KIT])
    assert (cover.price, cover.kits, cover.singles) == (4050, {"kit": 1}, {("five", "1"): 1})


def test_few_digits_are_bought_in_packs() -> None:
    cover = cheapest({"7": 6, "3": 1}, [FIVE, KIT])
    assert (cover.price, cover.kits) == (1350, {})
    assert cover.singles == {("five", "3"): 1, ("five", "7"): 2}


def test_a_character_in_no_pack_cannot_be_bought() -> None:
    assert coverable({"7": 2, "Ñ": 1, "3": 0}, [FIVE]) == {"7": 2}
    with pytest.raises(ValueError, match="in no pack"):
        cheapest({"Ñ": 1}, [FIVE])


def test_kits_are_bought_until_the_scarcest_digit_is_covered() -> None:
    scarce = Pack("scarce", "", 100, mix={"1": 5, "2": 1})
    assert cheapest({"1": 5, "2": 4}, [scarce]).kits == {"scarce": 4}
