"""Lengths as a ruler has them."""

from __future__ import annotations

from fractions import Fraction

FINEST = 64  # parts of an inch


def fraction(inches: float) -> str:
    """Return inches to the nearest 1/64: `9 1/2`, `1/16`."""
    whole, rest = divmod(round(inches * FINEST), FINEST)
    return " ".join(str(each) for each in (whole, Fraction(rest, FINEST)) if each) or "0"
