"""The smallest set that hits all sets, compared with trying every set."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from kiosk.plan.settings.rulebook import bits, either, least_broken, smallest_hitting

LIMITS = 7
SETS = st.lists(st.integers(1, 2**LIMITS - 1), min_size=1, max_size=8)


def by_trying_all(sets: list[int]) -> list[int]:
    for size in range(1, LIMITS + 1):
        tried = [sum(1 << n for n in places) for places in combinations(range(LIMITS), size)]
        found = [each for each in tried if all(each & one for one in sets)]
        if found:
            return sorted(found)
    raise AssertionError("all limits together meet every set")


@given(SETS)
def test_the_smallest_hitting_sets_match_an_exhaustive_search(sets: list[int]) -> None:
    assert smallest_hitting(sets) == by_trying_all(sets)


@given(SETS)
def test_a_set_that_contains_another_set_adds_nothing(sets: list[int]) -> None:
    assert by_trying_all(least_broken(sets)) == by_trying_all(sets)


def test_combining_two_choices_keeps_only_the_smallest_unions() -> None:
    assert sorted(either([0b001, 0b010], [0b001, 0b100])) == [0b001, 0b110]


def test_bits_are_listed_in_ascending_order() -> None:
    assert bits(0b10110) == [1, 2, 4]
