"""Reads packs.yaml and stock.yaml."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction

from kiosk.catalog.base.fields import ITS_KEY, LEFT_OUT, Field, Table, Values, checked, in_turn
from kiosk.catalog.base.message import say
from kiosk.catalog.base.spots import Spot
from kiosk.catalog.base.values import (
    Keyed,
    character_set,
    every,
    keyed,
    length,
    pieces,
    reference,
    whole,
    word,
)
from kiosk.catalog.model.rules import Pack, Packs, SpareRule, Stock
from kiosk.catalog.model.sheets import Material

MOST_IN_PACK, MOST_LEAST = 1_000, 100
MOST_KITS = 6  # the search of the cheapest purchase grows with them
MOST_LAYERS = 6


def _percent(spot: Spot) -> Fraction:
    found = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9])?)\s*%", spot.scalar())
    if found is None or Fraction(found[1]) > 100:
        raise spot.wrong(say("catalog.asked.percent"), allowed="0 %–100 %")
    return Fraction(found[1]) / 100


def _price(spot: Spot) -> int:
    """The price in hundredths, of `4`, `4.5`, `4.50` or `4,50`; free things are no purchase."""
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


_spare_rule = Table(
    SpareRule, (Field("share", _percent, LEFT_OUT), Field("least", whole(0, MOST_LEAST), LEFT_OUT))
)
_spares = Table(
    dict[str, SpareRule],
    tuple(Field(kind, _spare_rule, LEFT_OUT) for kind in ("digits", "letters", "others")),
)


def _mix(spot: Spot) -> Mapping[str, int]:
    return {character: n for character, n in pieces(spot).items() if n}


def _check_kind(values: Values) -> None:
    """A kit has a mix; any other pack says how many it has of which characters."""
    mix, of_one, held = (key in values.entries for key in ("mix", "of_one", "characters"))
    if mix == (of_one and held) or of_one != held:
        raise values.spot.wrong(say("catalog.packs.kind"), allowed="mix; of_one, characters")


def _pack(materials: frozenset[str] | None) -> Table[Pack]:
    return Table(
        Pack,
        (
            Field("title", word, ITS_KEY),
            Field("price", _price),
            Field("mix", _mix, LEFT_OUT),
            Field("of_one", whole(1, MOST_IN_PACK), LEFT_OUT),
            Field("characters", character_set, LEFT_OUT),
            Field("material", reference(materials), LEFT_OUT),
            Field("colour", word, LEFT_OUT),
            Field("height", length, LEFT_OUT),
        ),
        (_check_kind,),
    )


def _check_kits(spot: Spot, sold: Keyed[Pack]) -> None:
    if sum(bool(pack.mix) for pack in sold.sound.values()) > MOST_KITS:
        raise spot.wrong(say("catalog.packs.kits", most=MOST_KITS))


def _packs(packs: Keyed[Pack] | None = None, spares: Mapping[str, SpareRule] = {}) -> Packs:
    return Packs(tuple(packs.sound.values()) if packs else (), **spares)


def packs(materials: Keyed[Material], spot: Spot) -> Packs:
    """Return the content of packs.yaml; Unsound where anything in it is wrong, all noted."""
    sold = checked(keyed(_pack(materials.names).under), _check_kits)
    fields = (Field("spares", _spares, LEFT_OUT), Field("packs", sold, LEFT_OUT))
    return Table(_packs, fields)(spot)


def stock(materials: Keyed[Material], spot: Spot) -> tuple[Stock, ...]:
    """Return the drawers of stock.yaml; Unsound where anything in it is wrong, all noted."""
    drawer = Table(
        Stock,
        (
            Field("material", reference(materials.names)),
            Field("colour", word),
            Field("height", length),
            Field("pieces", pieces),
            Field("layer", _layer, LEFT_OUT, "layer layers"),
        ),
    )
    (found,) = Table(in_turn, (Field("drawers", every(drawer)),))(spot)
    return tuple(found)
