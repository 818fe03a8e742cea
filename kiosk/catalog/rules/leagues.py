"""Read the rules of leagues, sports and suppliers, and the sign-off criteria."""

import re
from collections.abc import Mapping
from fractions import Fraction

from kiosk.catalog.base import values
from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Field, FieldTable, Values, checked, in_turn
from kiosk.catalog.base.notes import listed, nearest_word, say
from kiosk.catalog.base.spots import Spot
from kiosk.catalog.model import (
    FAMILIES,
    MOST_LAYERS,
    QUIZ_LOOKS_BACK,
    Material,
    SignOffRule,
    SizeClass,
)
from kiosk.catalog.model import rules as model

_SEASON = re.compile(r"(?P<first>[12][0-9]{3})(?:-(?P<second>[0-9]{2}))?")
_RANGE = re.compile(r"(?P<low>[0-9]{1,3})(?:-(?P<high>[0-9]{1,3}))?")


def season(spot: Spot) -> int:
    """Return the year in which the season `2022-23` or `2022` begins."""
    text = spot.scalar()
    found = _SEASON.fullmatch(text)
    if found is None or found["second"] not in {None, f"{(int(found['first']) + 1) % 100:02d}"}:
        raise spot.wrong(say("catalog.asked.season"), allowed="2022-23, 2023")
    return int(found["first"])


def _numbers(spot: Spot) -> frozenset[str]:
    """Return the numbers of `00` or `10-15`; a range must not have a leading 0."""
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


def _check_order(spot: Spot, rules: tuple[model.CodeRule, ...]) -> None:
    """Raise Unsound if seasons overlap or are out of order: each season has one rule."""
    before = None
    for n, rule in enumerate(rules):
        first, last = rule.first, rule.last
        wrong = last is not None and first is not None and last < first
        if wrong or (n and (first is None or before is None or first <= before)):
            raise spot.wrong(say("catalog.code.seasons"))
        before = last


def _all_numbers(spot: Spot) -> frozenset[str]:
    return frozenset[str]().union(*values.list_of(_numbers)(spot))


def _not_together(spot: Spot) -> frozenset[str]:
    return frozenset(values.list_of(_number)(spot))


_rule = FieldTable(
    model.CodeRule,
    (
        Field("from", season, LEFT_OUT, "first"),
        Field("to", season, LEFT_OUT, "last"),
        Field("numbers", _all_numbers),
        Field("source", values.word),
        Field("not_together", _not_together, LEFT_OUT),
    ),
)
TITLE = Field("title", values.word, ITS_KEY)
_seasons = checked(values.list_of(_rule), _check_order)
CODE = FieldTable(model.Code, (TITLE, Field("seasons", _seasons, into="rules")))

BORDER = {"counted": True, "left out": False}


def _check_limit(values: Values) -> None:
    """Raise Unsound if a limit has no end, or its ends are in the wrong order."""
    low, high = values["low"], values["high"]
    sound = all(each.sound for each in values.results.values())
    if sound and low is None and high is None:
        raise values.spot.wrong(say("catalog.sizes.open"))
    if sound and low is not None and high is not None and low.inches > high.inches:
        raise values.spot.wrong(say("catalog.sizes.order"))


_limit = FieldTable(
    model.SizeLimit,
    (
        Field("panel", values.word),
        Field("element", values.word),
        Field("low", values.length, None),
        Field("high", values.length, None),
        Field("border", values.OneOf(BORDER), into="border_counted"),
        Field("source", values.word),
    ),
    (_check_limit,),
)
SIZE_RULE = FieldTable(
    model.SizeRule, (TITLE, Field("sizes", values.list_of(_limit), into="limits"))
)

CLASSES = {each.value: each for each in SizeClass}
LENGTHS = ("top", "gap", "widest", "across", "name", "number", "least_name")


def _check_once(spot: Spot, places: tuple[model.SportPlace, ...]) -> None:
    """Raise Unsound if a panel has two entries for one size class."""
    keys = [(each.panel, each.size_class) for each in places]
    for n, (item, place) in enumerate(zip(spot.items(), keys, strict=True)):
        if place in keys[:n]:
            found = f"{place[0]}, {place[1].value}"
            raise item.wrong(say("catalog.recipe.twin"), allowed=found)


_place = FieldTable(
    model.SportPlace,
    (
        Field("panel", values.word),
        Field("size", values.OneOf(CLASSES), into="size_class"),
        *(Field(each, values.length, LEFT_OUT) for each in LENGTHS),
    ),
)
_places = checked(values.list_of(_place), _check_once)
SPORT = FieldTable(model.Sport, (TITLE, Field("source", values.word), Field("places", _places)))
_SIGN_OFF = FieldTable(
    SignOffRule,
    (
        Field("clean_garments", values.whole(1, 50)),
        Field("slips_caught", values.whole(0, QUIZ_LOOKS_BACK)),
        Field("quiz_right", values.whole(0, QUIZ_LOOKS_BACK)),
        Field("valid_days", values.whole(1, 3650)),
        Field("slip_kinds", values.whole(0, 5), LEFT_OUT),
        Field("days", values.whole(1, 10), LEFT_OUT),
        Field("hours_between", values.whole(0, 72), LEFT_OUT),
        Field("false_alarms", values.whole(0, 9), LEFT_OUT),
    ),
)


def sign_off_rule(key: str, spot: Spot) -> SignOffRule:
    """Return the rule under `key`; raises Unsound, all faults noted, if any of it is wrong."""
    if key not in FAMILIES:
        nearest = nearest_word(key, FAMILIES)
        raise spot.wrong(say("catalog.key.unknown"), allowed=listed(FAMILIES), nearest=nearest)
    return _SIGN_OFF(spot)


MOST_IN_PACK, MOST_LEAST = 1_000, 100
MOST_KITS = 6  # the search for the cheapest purchase grows with them


def _percent(spot: Spot) -> Fraction:
    found = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9])?)\s*%", spot.scalar())
    if found is None or Fraction(found[1]) > 100:
        raise spot.wrong(say("catalog.asked.percent"), allowed="0 %–100 %")
    return Fraction(found[1]) / 100


def _price(spot: Spot) -> int:
    """Return the price in hundredths, of `4`, `4.5`, `4.50` or `4,50`; zero is refused."""
    found = re.fullmatch(r"([0-9]{1,6})(?:[.,]([0-9]{1,2}))?", spot.scalar())
    price = 0 if found is None else int(found[1]) * 100 + int((found[2] or "0").ljust(2, "0"))
    if not price:
        raise spot.wrong(say("catalog.asked.price"), allowed="4, 4.50")
    return price


def _layer(spot: Spot) -> tuple[int, int]:
    found = re.fullmatch(r"([1-9]) of ([1-9])", spot.scalar())
    if found is None or not int(found[1]) <= int(found[2]) <= MOST_LAYERS:
        raise spot.wrong(say("catalog.asked.layer"), allowed="1 of 2")
    return int(found[1]), int(found[2])


_spare_rule = FieldTable(
    model.SpareRule,
    (Field("share", _percent, LEFT_OUT), Field("least", values.whole(0, MOST_LEAST), LEFT_OUT)),
)
_spares = FieldTable(
    dict[str, model.SpareRule],
    tuple(Field(kind, _spare_rule, LEFT_OUT) for kind in ("digits", "letters", "others")),
)


def _mix(spot: Spot) -> Mapping[str, int]:
    return {character: n for character, n in values.pieces(spot).items() if n}


def _check_kind(values: Values) -> None:
    """Raise Unsound unless the pack has either `mix`, or `of_one` and `characters`."""
    mix, of_one, characters = (key in values.entries for key in ("mix", "of_one", "characters"))
    if mix == (of_one and characters) or of_one != characters:
        raise values.spot.wrong(say("catalog.packs.kind"), allowed="mix; of_one, characters")


def _pack(materials: frozenset[str] | None) -> FieldTable[model.Pack]:
    return FieldTable(
        model.Pack,
        (
            Field("title", values.word, ITS_KEY),
            Field("price", _price),
            Field("mix", _mix, LEFT_OUT),
            Field("of_one", values.whole(1, MOST_IN_PACK), LEFT_OUT),
            Field("characters", values.character_set, LEFT_OUT),
            Field("material", values.reference(materials), LEFT_OUT),
            Field("colour", values.word, LEFT_OUT),
            Field("height", values.length, LEFT_OUT),
        ),
        (_check_kind,),
    )


def _check_kits(spot: Spot, sold: values.KeyedEntries[model.Pack]) -> None:
    if sum(bool(pack.mix) for pack in sold.sound.values()) > MOST_KITS:
        raise spot.wrong(say("catalog.packs.kits", most=MOST_KITS))


def _packs(
    packs: values.KeyedEntries[model.Pack] | None = None, spares: Mapping[str, model.SpareRule] = {}
) -> model.Packs:
    return model.Packs(tuple(packs.sound.values()) if packs else (), **spares)


def packs(materials: values.KeyedEntries[Material], spot: Spot) -> model.Packs:
    """Return the content of packs.yaml; raises Unsound, all faults noted, if any is wrong."""
    sold = checked(values.keyed(_pack(materials.names).under), _check_kits)
    fields = (Field("spares", _spares, LEFT_OUT), Field("packs", sold, LEFT_OUT))
    return FieldTable(_packs, fields)(spot)


def stock(materials: values.KeyedEntries[Material], spot: Spot) -> tuple[model.Stock, ...]:
    """Return the drawers of stock.yaml; raises Unsound, all faults noted, if any is wrong."""
    drawer = FieldTable(
        model.Stock,
        (
            Field("material", values.reference(materials.names)),
            Field("colour", values.word),
            Field("height", values.length),
            Field("pieces", values.pieces),
            Field("layer", _layer, LEFT_OUT, "layer layers"),
        ),
    )
    (found,) = FieldTable(in_turn, (Field("drawers", values.list_of(drawer)),))(spot)
    return tuple(found)
