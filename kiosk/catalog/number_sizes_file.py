"""Reads number-sizes.yaml: how high leagues want numbers and names, with their sources."""

from __future__ import annotations

from kiosk.catalog.message import say
from kiosk.catalog.number_sizes import SizeLimit, SizeRule
from kiosk.catalog.quantities import Length
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import every, length, one_of, word

NO_LENGTH: Length | None = None
BORDER = {"counted": True, "left out": False}


def size_rule(key: str, spot: Spot) -> SizeRule:
    """Return the rule under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(("sizes",), ("title",))
    title, limits = f.get_or("title", word, key), f.get("sizes", every(_limit))
    return SizeRule(key, title.value, limits.value)


def _limit(spot: Spot) -> SizeLimit:
    f = spot.fields(("panel", "element", "border", "source"), ("low", "high"))
    panel, element = f.get("panel", word), f.get("element", word)
    low, high = f.get_or("low", length, NO_LENGTH), f.get_or("high", length, NO_LENGTH)
    counted, source = f.get("border", one_of(BORDER)), f.get("source", word)
    limit = SizeLimit(
        panel.value, element.value, low.value, high.value, counted.value, source.value
    )
    least, most = limit.low, limit.high
    if least is None and most is None:
        raise spot.wrong(say("catalog.sizes.open"))
    if least is not None and most is not None and least.inches > most.inches:
        raise spot.wrong(say("catalog.sizes.order"))
    return limit
