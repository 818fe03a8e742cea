"""The choices of a question: plausible, distinct, the right one in no fixed position."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from run_samples import one_piece, plan_of, team

from kiosk.catalog.roster import has_twin, twin
from kiosk.run.facts.questions import number_choices, shuffled, size_choices
from kiosk.run.facts.tickets import first_tickets
from kiosk.run.state.model import Garment, JobRun


def job_of(garments: tuple[Garment, ...]) -> JobRun:
    plan = plan_of(one_piece())
    tickets = first_tickets(plan, garments)
    return JobRun("j", plan, "hash", tickets, tuple(tickets))


def sizes(*codes: str) -> JobRun:
    return job_of(tuple(Garment(str(i), "1", code, "d") for i, code in enumerate(codes)))


@pytest.mark.parametrize(
    ("number", "reads"),
    [("6", "9"), ("9", "6"), ("16", "91"), ("68", "89"), ("66", "99"), ("10", "01"), ("60", "09")],
)
def test_a_number_reads_as_another_one_upside_down(number: str, reads: str) -> None:
    assert twin(number) == reads
    assert twin(reads) == number


@pytest.mark.parametrize(
    "number", ["0", "1", "8", "11", "69", "96", "88", "7", "17", "23", "", "A1"]
)
def test_a_number_has_no_twin_when_it_turns_into_itself_or_into_none(number: str) -> None:
    assert twin(number) is None
    assert not has_twin(number, {number, "6", "9"})


@given(st.text("0123456789", max_size=3))
def test_being_a_twin_goes_both_ways(number: str) -> None:
    other = twin(number)
    assert other is None or (other != number and twin(other) == number)


def test_six_numbers_with_the_right_one_its_twin_and_its_digits_swapped() -> None:
    choices = number_choices(job_of(team("16", "91", "12", "44")), "16")
    assert len(choices) == len(set(choices)) == 6
    assert {"16", "91", "61", "12"} <= set(choices)


def test_what_16_reads_as_upside_down_is_offered_although_the_job_has_no_91() -> None:
    assert "91" in number_choices(job_of(team("16", "7", "8", "10", "44", "52")), "16")


def test_the_swap_of_31_is_offered_although_the_job_has_no_13() -> None:
    assert "13" in number_choices(job_of(team("31", "7")), "31")


@pytest.mark.parametrize("number", ["7A", "½", "²"])
def test_a_number_that_is_not_all_digits_is_asked_for_too(number: str) -> None:
    choices = number_choices(job_of(team(number, "8")), number)
    assert number in choices
    assert len(choices) == 6


@given(st.text("0123456789", min_size=1, max_size=2))
def test_there_are_always_six_distinct_numbers(number: str) -> None:
    choices = number_choices(job_of(team(number)), number)
    assert number in choices
    assert len(set(choices)) == len(choices) == 6


def test_the_sizes_are_those_of_the_job() -> None:
    assert set(size_choices(sizes("S", "M", "L", "XL", "L"), "L")) == {"S", "M", "L", "XL"}


def test_few_sizes_are_filled_up_with_neighbours() -> None:
    choices = size_choices(sizes("L"), "L")
    assert len(choices) == 4
    assert {"M", "L", "XL"} <= set(choices)


def test_there_are_never_more_than_eight_sizes_and_the_right_one_is_among_them() -> None:
    codes = ("YXS", "YS", "YM", "YL", "YXL", "XS", "S", "M", "L", "XL", "2XL", "3XL")
    choices = size_choices(sizes(*codes), "3XL")
    assert len(choices) == 8
    assert "3XL" in choices


def test_an_unknown_size_is_offered_beside_known_ones() -> None:
    choices = size_choices(sizes("38 tall"), "38 tall")
    assert len(choices) == 4
    assert "M" in choices


def test_the_right_answer_is_in_every_position_about_equally_often() -> None:
    numbers = ("12", "21", "13", "11", "22", "2")
    places = Counter(shuffled(numbers, f"{line}/1/1", 0).index("12") for line in range(600))
    assert set(places) == set(range(6))
    assert all(60 < count < 140 for count in places.values())  # 100 each, 4 sigma is 36


def test_a_second_try_is_shuffled_differently() -> None:
    numbers = ("12", "21", "13", "11", "22", "2")
    orders = {shuffled(numbers, "1/1/1", tries) for tries in range(20)}
    assert len(orders) > 15
