"""Reads codes.yaml: the numbers that leagues allow, with their seasons and sources."""

from __future__ import annotations

import re

from kiosk.catalog.message import say
from kiosk.catalog.numbering import Code, CodeRule
from kiosk.catalog.spots import Spot
from kiosk.catalog.values import every, word

_SEASON = re.compile(r"(?P<first>[12][0-9]{3})(?:-(?P<second>[0-9]{2}))?")
_RANGE = re.compile(r"(?P<low>[0-9]{1,3})(?:-(?P<high>[0-9]{1,3}))?")
NO_YEAR: int | None = None
NONE_APART: tuple[str, ...] = ()


def code(key: str, spot: Spot) -> Code:
    """Return the code under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(("seasons",), ("title",))
    title = f.get_or("title", word, key)
    rules = f.get("seasons", every(_rule))
    found = rules.value
    _check_order(f.entries["seasons"], found)
    return Code(key, title.value, found)


def season(spot: Spot) -> int:
    """Return the year in which the season `2022-23`, or `2022`, begins."""
    text = spot.scalar()
    found = _SEASON.fullmatch(text)
    if found is None or found["second"] not in {None, f"{(int(found['first']) + 1) % 100:02d}"}:
        raise spot.wrong(say("catalog.asked.season"), allowed="2022-23, 2023")
    return int(found["first"])


def _rule(spot: Spot) -> CodeRule:
    f = spot.fields(("numbers", "source"), ("from", "to", "not_together"))
    first, last = f.get_or("from", season, NO_YEAR), f.get_or("to", season, NO_YEAR)
    numbers, source = f.get("numbers", every(_numbers)), f.get("source", word)
    not_together = f.get_or("not_together", every(_number), NONE_APART)
    return CodeRule(
        frozenset[str]().union(*numbers.value),
        source.value,
        first.value,
        last.value,
        frozenset(not_together.value),
    )


def _numbers(spot: Spot) -> frozenset[str]:
    """The numbers of `00` or `10-15`; a range never has a leading 0."""
    found = _RANGE.fullmatch(spot.scalar())
    if found is None:
        raise spot.wrong(say("catalog.asked.numbers"), allowed="7, 00, 10-15")
    if found["high"] is None:
        return frozenset({found["low"]})
    low, high = int(found["low"]), int(found["high"])
    if low > high or str(low) != found["low"]:
        raise spot.wrong(say("catalog.asked.numbers"), allowed="7, 00, 10-15")
    return frozenset(map(str, range(low, high + 1)))


def _number(spot: Spot) -> str:
    text = spot.scalar()
    if not re.fullmatch("[0-9]{1,3}", text):
        raise spot.wrong(say("catalog.asked.numbers"), allowed="7, 00")
    return text


def _check_order(spot: Spot, rules: tuple[CodeRule, ...]) -> None:
    """Note seasons that overlap or fall: each season has one rule."""
    before = None
    for n, rule in enumerate(rules):
        opens, closes = rule.first, rule.last
        wrong = closes is not None and opens is not None and closes < opens
        if wrong or (n and (opens is None or before is None or opens <= before)):
            raise spot.wrong(say("catalog.code.seasons"))
        before = closes
