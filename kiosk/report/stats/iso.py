"""The ratios of ISO 22400-2, its names and formulas; without an element they are left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Elements:
    """What the ratios are made of. Times in seconds; None where it is not known.

    Planned busy time, actual unit busy, production, set-up, processing and order execution
    time; produced, good, scrap, rework, inspected quantity, good parts at first; planned run
    time per unit. The short names are those of an open ontology of the standard; other public
    texts shorten some of them otherwise, so that a person reads them in full only.
    """

    pbt: float | None = None
    aubt: float | None = None
    apt: float | None = None
    asut: float | None = None
    aupt: float | None = None
    aoet: float | None = None
    pq: float | None = None
    gq: float | None = None
    sq: float | None = None
    rq: float | None = None
    ip: float | None = None
    gp: float | None = None
    pru: float | None = None


def _over(part: float | None, whole: float | None) -> float | None:
    return None if part is None or not whole else part / whole


def _times(*factors: float | None) -> float | None:
    product = 1.0
    for factor in factors:
        if factor is None:
            return None
        product *= factor
    return product


RATIOS: Mapping[str, Callable[[Elements], float | None]] = {
    "quality_ratio": lambda e: _over(e.gq, e.pq),
    "first_pass_yield": lambda e: _over(e.gp, e.ip),
    "rework_ratio": lambda e: _over(e.rq, e.pq),
    "scrap_ratio": lambda e: _over(e.sq, e.pq),
    "throughput_rate": lambda e: _over(e.pq, e.aoet),  # a second
    "setup_ratio": lambda e: _over(e.asut, e.aupt),
    "utilization_efficiency": lambda e: _over(e.apt, e.aubt),
    "allocation_efficiency": lambda e: _over(e.aubt, e.pbt),
    "availability": lambda e: _over(e.apt, e.pbt),
    "effectiveness": lambda e: _over(_times(e.pru, e.pq), e.apt),
    "oee": lambda e: _times(
        RATIOS["availability"](e), RATIOS["effectiveness"](e), RATIOS["quality_ratio"](e)
    ),
}
"""By the standard's name; None where an element is not known, or the divisor is nothing."""
