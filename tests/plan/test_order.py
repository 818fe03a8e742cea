"""The order of work."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise, permutations

from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.catalog.twins import twin
from kiosk.plan.order import in_order


@dataclass(frozen=True)
class Shirt:
    """A made-up garment."""

    number: str
    size: str = "AM"


def shirts(*numbers: str, size: str = "AM") -> list[Shirt]:
    return [Shirt(number, size) for number in numbers]


def numbers(garments: tuple[Shirt, ...]) -> list[str]:
    return [garment.number for garment in garments]


def beside(garments: tuple[Shirt, ...]) -> int:
    return sum(twin(a.number) == b.number for a, b in pairwise(garments))


def changes(garments: tuple[Shirt, ...]) -> int:
    return sum(a.size != b.size for a, b in pairwise(garments))


def test_youth_comes_before_adult_and_small_before_large() -> None:
    mixed = [Shirt(str(n), size) for n, size in enumerate(["A2X", "AS", "YXL", "AL", "YS", "AS"])]
    order = in_order(mixed)
    assert [g.size for g in order.garments] == ["YS", "YXL", "AS", "AS", "AL", "A2X"]
    assert order.size_changes == 4


def test_one_size_stays_as_the_roster_has_it() -> None:
    assert numbers(in_order(shirts("23", "4", "10", "7")).garments) == ["23", "4", "10", "7"]


def test_twins_of_one_size_are_parted_within_it() -> None:
    order = in_order([*shirts("07", "6", "9", "10"), *shirts("3", size="AL")])
    assert order.beside == ()
    assert beside(order.garments) == 0
    assert order.size_changes == 1


def test_two_numbers_alone_in_their_size_cost_a_change_of_size_rather_than_stand_together() -> None:
    order = in_order([*shirts("6", "9"), *shirts("3", size="AL")])
    assert numbers(order.garments) == ["6", "3", "9"]
    assert order.size_changes == 2


def test_what_cannot_be_parted_is_said() -> None:
    assert in_order(shirts("68", "89")).beside == (("68", "89"),)


def test_the_order_is_the_same_whatever_order_it_is_given() -> None:
    """The station, `kiosk simulate` and `kiosk plan` each read the roster for themselves."""
    once = in_order(shirts("16", "91", "6", "9", "2")).garments
    assert in_order(once).garments == once


def test_even_a_job_of_twins_and_one_other_number_parts_them_all() -> None:
    """No single move parts these."""
    assert in_order(shirts("6", "6", "9", "16", "6")).beside == ()
    assert in_order([*shirts("91", "91"), *shirts("16", "9", "91", size="AL")]).beside == ()


pool = st.builds(
    Shirt, st.sampled_from(("6", "9", "16", "91", "3", "4", "5")), st.sampled_from(("YM", "AS"))
)


@given(st.lists(pool, max_size=6))
@settings(deadline=None)
def test_no_order_has_fewer_twins_side_by_side_and_hardly_one_fewer_changes_of_size(
    found: list[Shirt],
) -> None:
    """Against every order there is."""
    order = in_order(found)
    assert sorted(map(str, order.garments)) == sorted(map(str, found))
    best = min((beside(p), changes(p)) for p in set(permutations(found)))
    assert beside(order.garments) == best[0]
    assert order.size_changes <= best[1] + 2
