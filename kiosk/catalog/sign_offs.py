"""What a trainee has to show before a supervisor signs them off, by procedure family."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

FAMILIES = ("one-piece", "two-layer", "three-layer", "staged-peel")
"""The procedure families; three-layer holds all stacks of three layers or more."""

QUIZ_LOOKS_BACK = 10
"""How many of the last quiz answers are looked at."""


@dataclass(frozen=True, slots=True)
class SignOffRule:
    """The criteria of one family.

    `clean_garments` in a row without help and without a miss, `slips_caught` of those put in
    on purpose, `quiz_right` of the last ten answers; a sign-off is good for `valid_days`.
    """

    clean_garments: int = 2
    slips_caught: int = 3
    quiz_right: int = 8
    valid_days: int = 365


PLAIN = SignOffRule()


def rule_of(rules: Mapping[str, SignOffRule], family: str) -> SignOffRule:
    """Return the shop's rule for `family`, or the plain one where it has none."""
    return rules.get(family, PLAIN)
