"""The path to a sign-off, taken honestly, is 20 to 40 minutes over two days."""

from __future__ import annotations

import pytest
from catalog_jobs import catalog, planned, shipped
from honest_trainee import Honest

from kiosk.catalog.model.house import rule_of

LEAST, MOST = 20.0, 40.0  # minutes


@pytest.mark.parametrize(
    ("family", "recipe"),
    [
        ("one-piece", "printed-pair"),
        ("two-layer", "two-layer-pair"),
        ("three-layer", "three-layer-number"),
        ("staged-peel", "hot-name-cold-number"),
    ],
)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_an_honest_trainee_needs_twenty_to_forty_minutes(
    family: str, recipe: str, seed: int
) -> None:
    rule = rule_of(catalog().sign_off, family)
    trainee = Honest(planned(recipe), shipped(recipe), rule, seed)
    assert trainee.family == family
    days, minutes = trainee.walk()
    assert days == 2
    assert LEAST <= minutes <= MOST
