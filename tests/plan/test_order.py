"""The order of work."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reference_order import fewest

from kiosk.catalog.roster.upside_down import twin
from kiosk.commands.load import load
from kiosk.plan.time.order import FEWEST, MOST, PARTS, batches, in_order

ROOT = Path(__file__).resolve().parents[2]
JOBS = ROOT / "shared" / "jobs"


@dataclass(frozen=True)
class Shirt:
    """A made-up garment."""

    number: str
    size: str = "AM"
    set: str = ""


def shirts(*numbers: str, size: str = "AM") -> list[Shirt]:
    return [Shirt(number, size) for number in numbers]


def numbers(garments: tuple[Shirt, ...]) -> list[str]:
    return [garment.number for garment in garments]


def adjacent_twins(garments: tuple[Shirt, ...]) -> int:
    return sum(twin(a.number) == b.number for a, b in pairwise(garments))


def test_youth_comes_before_adult_and_small_before_large() -> None:
    mixed = [Shirt(str(n), size) for n, size in enumerate(["A2X", "AS", "YXL", "AL", "YS", "AS"])]
    order = in_order(mixed)
    assert [g.size for g in order.garments] == ["YS", "YXL", "AS", "AS", "AL", "A2X"]
    assert order.size_changes == 4


def test_garments_of_one_size_keep_the_rosters_order() -> None:
    assert numbers(in_order(shirts("23", "4", "10", "7")).garments) == ["23", "4", "10", "7"]


def test_garments_of_one_set_stay_together_within_a_size() -> None:
    """With a pile of home and a pile of away shirts, alternating leads to taking the wrong one."""
    mixed = [Shirt(str(n), "AM", each) for n, each in enumerate(["home", "away", "home", "away"])]
    order = in_order([Shirt("9", "AS", "home"), *mixed]).garments
    assert [g.set for g in order] == ["home", "home", "home", "away", "away"]
    assert numbers(order) == ["9", "0", "2", "1", "3"]


def test_twins_are_parted_within_their_size_if_possible() -> None:
    order = in_order([*shirts("07", "6", "9", "10"), *shirts("3", size="AL")])
    assert order.adjacent_twins == ()
    assert adjacent_twins(order.garments) == 0
    assert order.size_changes == 1


def test_twins_alone_in_their_size_are_parted_by_another_size() -> None:
    order = in_order([*shirts("6", "9"), *shirts("3", size="AL")])
    assert numbers(order.garments) == ["6", "3", "9"]
    assert order.size_changes == 2


def test_twins_that_cannot_be_parted_are_reported() -> None:
    assert in_order(shirts("68", "89")).adjacent_twins == (("68", "89"),)


def test_ordering_an_ordered_roster_changes_nothing() -> None:
    """The station, `kiosk simulate` and `kiosk plan` each read the roster separately."""
    once = in_order(shirts("16", "91", "6", "9", "2")).garments
    assert in_order(once).garments == once


def test_twins_that_no_single_move_parts_are_parted() -> None:
    """No single move parts these."""
    assert in_order(shirts("6", "6", "9", "16", "6")).adjacent_twins == ()
    assert in_order([*shirts("91", "91"), *shirts("16", "9", "91", size="AL")]).adjacent_twins == ()


pools = st.sampled_from(
    (
        ("6", "9"),
        ("6", "9", "3"),
        ("6", "9", "16", "91"),
        ("6", "9", "16", "91", "3", "4"),
        ("6", "9", "16", "91", "18", "81"),
        ("6", "9", "16", "91", "18", "81", "68", "89", "3"),
    )
)


def rosters(most: int, least: int = 0) -> st.SearchStrategy[list[Shirt]]:
    sizes = st.sampled_from(("YM", "YL", "AS", "AM", "AL"))
    return pools.flatmap(
        lambda pool: st.lists(
            st.builds(Shirt, st.sampled_from(pool), sizes), min_size=least, max_size=most
        )
    )


@given(rosters(9))
@settings(max_examples=300)
def test_no_order_of_up_to_nine_garments_beats_the_one_found(found: list[Shirt]) -> None:
    """Compared with every possible order: fewest adjacent twins, then fewest changes of size."""
    order = in_order(found)
    assert sorted(map(str, order.garments)) == sorted(map(str, found))
    best = fewest([(g.number, g.size) for g in found])
    assert (adjacent_twins(order.garments), order.size_changes) == best


def least_changes(found: list[Shirt]) -> int:
    """Return a lower bound: each size once, and twice if it holds only one pair of twins."""
    sizes = {g.size: {n.number for n in found if n.size == g.size} for g in found}
    pairs = [s for s in sizes.values() if len(s) == 2 and twin(min(s)) == max(s)]
    return len(sizes) - 1 + len(pairs)


@given(rosters(120, least=10))
@settings(max_examples=100)
def test_a_long_order_has_at_most_one_size_change_above_the_bound(found: list[Shirt]) -> None:
    order = in_order(found)
    assert sorted(map(str, order.garments)) == sorted(map(str, found))
    numbers = {g.number for g in found}
    if len(numbers) == 2 and twin(min(numbers)) == max(numbers):
        assert (
            len(order.adjacent_twins) == 1
        )  # nothing can part them: all of one, then all of the other
    else:
        assert order.adjacent_twins == ()
        assert order.size_changes <= least_changes(found) + 1


@pytest.mark.parametrize("job", sorted(p.parent.name for p in JOBS.glob("*/job.yaml")))
def test_the_shipped_jobs_need_no_extra_size_changes(job: str) -> None:
    loaded = load(str(JOBS / job), ROOT / "recipes")
    assert loaded is not None
    found = [Shirt(line.number, line.size) for line in loaded.job.roster]
    order = in_order(found)
    assert order.adjacent_twins == ()
    assert order.size_changes == least_changes(found)


def test_a_thousand_garments_that_all_have_twins_are_parted() -> None:
    pairs = ["6", "9", "16", "91", "18", "81", "68", "89", "66", "99"]
    many = [Shirt(pairs[n * n % 10], ("YM", "AS", "AL")[n % 3]) for n in range(1000)]
    order = in_order(many)
    assert order.adjacent_twins == ()
    assert order.size_changes == 2


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.sampled_from(["YM", "AS", "AM", "AL"]), st.integers(1, 99)), min_size=1),
    st.integers(1, 3),
)
def test_batches_cut_the_order_where_sizes_change(roster: list[tuple[str, int]], runs: int) -> None:
    order = in_order([Shirt(str(number), size) for size, number in roster]).garments
    cut = batches(order, runs)
    assert tuple(garment for batch in cut for garment in batch) == order
    most = min(MOST, max(FEWEST, -(-len(order) // PARTS))) * runs
    assert max(map(len, cut)) <= most
    for before, after in pairwise(cut):
        whole = [garment.size for garment in order].count(after[0].size)
        if before[-1].size == after[0].size:  # this size is split: it is larger than a batch
            assert whole > most or before[0].size != after[0].size
        else:  # the two together would be too many
            run = next(n for n, g in enumerate((*after, Shirt("", "-"))) if g.size != after[0].size)
            assert len(before) + run > most


def test_batches_of_a_large_order_are_as_even_as_sizes_allow() -> None:
    order = (*shirts(*"1234567890" * 3, size="AM"), *shirts(*"12345", size="AL"))
    assert [len(batch) for batch in batches(order)] == [5, 5, 5, 5, 5, 5, 5]
    assert [len(batch) for batch in batches(order, runs=2)] == [10, 10, 10, 5]
    assert [len(batch) for batch in batches(order[:6])] == [3, 3]
    assert batches(()) == ()
