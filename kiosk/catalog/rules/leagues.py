"""Reads what leagues and sports ask for, and what a trainee has to show."""

from __future__ import annotations

import re

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import listed, nearest_word
from kiosk.catalog.base.quantities import Length
from kiosk.catalog.base.spots import Spot
from kiosk.catalog.base.values import every, length, one_of, whole, word
from kiosk.catalog.model.house import FAMILIES, QUIZ_LOOKS_BACK, SignOffRule
from kiosk.catalog.model.orders import SizeClass
from kiosk.catalog.model.rules import Code, CodeRule, Place, SizeLimit, SizeRule, Sport

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


CLASSES = {each.value: each for each in SizeClass}
LENGTHS = ("top", "gap", "widest", "across", "name", "number", "least_name")


def sport(key: str, spot: Spot) -> Sport:
    """Return the sport under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(("source", "places"), ("title",))
    title, source = f.get_or("title", word, key), f.get("source", word)
    places = f.get("places", every(_place))
    found = places.value
    _check_once(f.entries["places"], found)
    return Sport(key, title.value, source.value, found)


def _place(spot: Spot) -> Place:
    f = spot.fields(("panel", "size"), LENGTHS)
    panel, size_class = f.get("panel", word), f.get("size", one_of(CLASSES))
    got = {each: f.get_or(each, length, NO_LENGTH) for each in LENGTHS}
    return Place(
        panel.value, size_class.value, **{each: value.value for each, value in got.items()}
    )


def _check_once(spot: Spot, places: tuple[Place, ...]) -> None:
    """Note a panel that has two entries for one class of sizes."""
    seen = [(each.panel, each.size_class) for each in places]
    for n, (item, place) in enumerate(zip(spot.items(), seen, strict=True)):
        if place in seen[:n]:
            found = f"{place[0]}, {place[1].value}"
            raise item.wrong(say("catalog.recipe.twin"), allowed=found)


def sign_off_rule(key: str, spot: Spot) -> SignOffRule:
    """Return the rule under `key`; Unsound where anything in it is wrong, all noted."""
    if key not in FAMILIES:
        nearest = nearest_word(key, FAMILIES)
        raise spot.wrong(say("catalog.key.unknown"), allowed=listed(FAMILIES), nearest=nearest)
    f = spot.fields(("clean_garments", "slips_caught", "quiz_right", "valid_days"))
    clean = f.get("clean_garments", whole(1, 50))
    caught = f.get("slips_caught", whole(0, 50))
    right = f.get("quiz_right", whole(0, QUIZ_LOOKS_BACK))
    valid = f.get("valid_days", whole(1, 3650))
    return SignOffRule(clean.value, caught.value, right.value, valid.value)
