"""How far off an estimate may be. No press was measured: the wider figure is taken everywhere.

Temperatures: 5 K at the bond, 6 to 10 K for a tack of 2 s. Times: 15 to 20 % where a garment
lies off the platen, 25 to 30 % on the pad. What two estimates differ by is off by the pad's
share. The activation energy is an assumption, of the size that dye migration in polyester has;
so is its range.
"""

from __future__ import annotations

from typing import NamedTuple

BOND_KELVIN = 5.0
TACK_KELVIN = 10.0
PAD_SHARE = 0.30
ACTIVATION_ENERGY = 100_000.0  # J/mol
ACTIVATION_RANGE = (80_000.0, 120_000.0)  # J/mol


class Between(NamedTuple):
    """The range that an estimate is shown with."""

    low: float
    high: float


def around(value: float, off: float) -> Between:
    """Return the range of a value that may be off by so much."""
    return Between(value - off, value + off)


def share_around(value: float, share: float = PAD_SHARE) -> Between:
    """Return the range of a value above 0 that may be off by a share of it."""
    return Between(value * (1 - share), value * (1 + share))
