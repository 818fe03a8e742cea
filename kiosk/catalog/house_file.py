"""Reads the parts of shop.yaml that say what is asked for around the garments."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.catalog.house import (
    FIRST_ARTICLE,
    VERIFY,
    Approver,
    Demand,
    FirstArticle,
    Part,
    Verify,
)
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import duration, one_of, step, whole

DEMANDS = {demand.value: demand for demand in Demand}
APPROVERS = {approver.value: approver for approver in Approver}
MOST_SCRAPS = 99
MOST_CLOSINGS_BETWEEN = 9_999_999


def verify(spot: Spot) -> Verify:
    """Return `{demand, offset, spread, valid, idle}`; what is not written keeps its default."""
    f = spot.fields((), ("demand", "offset", "spread", "valid", "idle"))
    demand = f.get_or("demand", one_of(DEMANDS), VERIFY.demand)
    offset = f.get_or("offset", step, VERIFY.offset)
    spread = f.get_or("spread", step, VERIFY.spread)
    valid = f.get_or("valid", duration, VERIFY.valid)
    idle = f.get_or("idle", duration, VERIFY.idle)
    return Verify(demand.value, offset.value, spread.value, valid.value, idle.value)


def first_article(spot: Spot) -> FirstArticle:
    """Return `{demand, approver}`; what is not written keeps its default."""
    f = spot.fields((), ("demand", "approver"))
    demand = f.get_or("demand", one_of(DEMANDS), FIRST_ARTICLE.demand)
    approver = f.get_or("approver", one_of(APPROVERS), FIRST_ARTICLE.approver)
    return FirstArticle(demand.value, approver.value)


def scrap_limit(spot: Spot) -> int:
    """Return how many scraps of one cause hold a job."""
    return whole(1, MOST_SCRAPS)(spot)


def upkeep(spot: Spot) -> Mapping[Part, int]:
    """Return after how many closings each part of a press is to be seen to."""
    f = spot.fields((), tuple(part.value for part in Part))
    read = whole(1, MOST_CLOSINGS_BETWEEN)
    got = {part: f.get(part.value, read) for part in Part if part.value in f.entries}
    return {part: each.value for part, each in got.items()}
