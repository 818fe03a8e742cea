"""What a process can do against limits that somebody set (NIST/SEMATECH e-Handbook 6.1.6)."""

from __future__ import annotations

from typing import NamedTuple


class Capability(NamedTuple):
    """`cp` if it were in the middle, `cpk` as it is."""

    cp: float
    cpk: float


def capability(lower: float, upper: float, mean: float, deviation: float) -> Capability:
    """Return Cp and Cpk; all in one unit, `deviation` above 0."""
    return Capability(
        (upper - lower) / (6 * deviation),
        min(upper - mean, mean - lower) / (3 * deviation),
    )
