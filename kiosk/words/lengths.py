"""Lengths as a ruler has them."""

from __future__ import annotations

from fractions import Fraction

MM_PER_INCH = 25.4  # SI definition of the inch
FINEST = 64  # parts of an inch


def fraction(inches: float) -> str:
    """Return inches to the nearest 1/64: `9 1/2`, `1/16`."""
    whole, rest = divmod(round(inches * FINEST), FINEST)
    return " ".join(str(each) for each in (whole, Fraction(rest, FINEST)) if each) or "0"


def millimetres(inches: float) -> str:
    """Return the millimetres of a length in inches, short ones to a tenth: `254`, `1.6`."""
    length = inches * MM_PER_INCH
    return f"{length:.1f}".removesuffix(".0") if length < 10 else str(round(length))
