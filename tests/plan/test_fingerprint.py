"""A fingerprint says whether two plans are the same."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plan_samples import single_plan, stack_plan

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.fingerprint import fingerprint, plain


def test_the_same_plan_has_the_same_fingerprint() -> None:
    assert fingerprint(stack_plan()) == fingerprint(stack_plan())


def test_another_second_of_dwell_changes_the_fingerprint() -> None:
    plan = single_plan()
    one = replace(plan.passes[0].steps[3], seconds=16)
    steps = (*plan.passes[0].steps[:3], one, *plan.passes[0].steps[4:])
    changed = replace(plan, passes=(replace(plan.passes[0], steps=steps),))
    assert fingerprint(changed) != fingerprint(plan)


def test_an_integer_and_an_equal_float_give_the_same_fingerprint() -> None:
    plan = single_plan()
    assert fingerprint(replace(plan, closes_in_seconds=1)) == fingerprint(plan)


def test_the_order_of_a_mappings_entries_does_not_matter() -> None:
    one, other = {"a": Peel.HOT, "b": Peel.COLD}, {"b": Peel.COLD, "a": Peel.HOT}
    plan = single_plan()
    fingerprints = [
        replace(plan, settings=(replace(plan.settings[0], element_heat_seconds=m),))
        for m in (one, other)
    ]
    assert fingerprint(fingerprints[0]) == fingerprint(fingerprints[1])


def test_a_value_that_no_plan_contains_is_refused() -> None:
    with pytest.raises(TypeError):
        plain(object())


def test_the_fingerprint_is_64_hex_digits() -> None:
    assert len(fingerprint(single_plan())) == 64
    assert set(fingerprint(single_plan())) <= set("0123456789abcdef")
