"""Reads packs.yaml and stock.yaml."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import partial

from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Length
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
NO_SPARES = SpareRule()
NO_RULES: Mapping[str, SpareRule] = {}
NO_MIX: Mapping[str, int] = {}
NO_CHARACTERS: frozenset[str] = frozenset()
NO_WORD: str | None = None
NO_HEIGHT: Length | None = None
NO_PACKS: Keyed[Pack] = Keyed({}, None)


def packs(materials: Keyed[Material], spot: Spot) -> Packs:
    """Return the content of packs.yaml; Unsound where anything in it is wrong, all noted."""
    f = spot.fields((), ("spares", "packs"))
    spares = f.get_or("spares", _spares, NO_RULES)
    sold = f.get_or("packs", keyed(partial(_pack, materials.names)), NO_PACKS)
    if sold.sound and sum(bool(pack.mix) for pack in sold.value.sound.values()) > MOST_KITS:
        raise f.entries["packs"].wrong(say("catalog.packs.kits", most=MOST_KITS))
    return Packs(tuple(sold.value.sound.values()), **spares.value)


def stock(materials: Keyed[Material], spot: Spot) -> tuple[Stock, ...]:
    """Return the drawers of stock.yaml; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(("drawers",))
    return f.get("drawers", every(partial(_drawer, materials.names))).value


def _spares(spot: Spot) -> Mapping[str, SpareRule]:
    kinds = ("digits", "letters", "others")
    f = spot.fields((), kinds)
    got = {kind: f.get_or(kind, _spare_rule, NO_SPARES) for kind in kinds}
    return {kind: each.value for kind, each in got.items()}


def _spare_rule(spot: Spot) -> SpareRule:
    f = spot.fields((), ("share", "least"))
    share = f.get_or("share", _percent, Fraction(0))
    least = f.get_or("least", whole(0, MOST_LEAST), 0)
    return SpareRule(share.value, least.value)


def _percent(spot: Spot) -> Fraction:
    found = re.fullmatch(r"([0-9]{1,3}(?:\.[0-9])?)\s*%", spot.scalar())
    if found is None or Fraction(found[1]) > 100:
        raise spot.wrong(say("catalog.asked.percent"), allowed="0 %–100 %")
    return Fraction(found[1]) / 100


def _pack(materials: frozenset[str] | None, key: str, spot: Spot) -> Pack:
    f = spot.fields(
        ("price",), ("title", "mix", "of_one", "characters", "material", "colour", "height")
    )
    title, price = f.get_or("title", word, key), f.get("price", _price)
    mix, of_one = f.get_or("mix", pieces, NO_MIX), f.get_or("of_one", whole(1, MOST_IN_PACK), 0)
    held = f.get_or("characters", character_set, NO_CHARACTERS)
    material = f.get_or("material", reference(materials), NO_WORD)
    colour, height = f.get_or("colour", word, NO_WORD), f.get_or("height", length, NO_HEIGHT)
    kit, single = "mix" in f.entries, "of_one" in f.entries and "characters" in f.entries
    if kit == single or ("of_one" in f.entries) != ("characters" in f.entries):
        raise spot.wrong(say("catalog.packs.kind"), allowed="mix; of_one, characters")
    return Pack(
        key=key,
        title=title.value,
        price=price.value,
        mix={character: n for character, n in mix.value.items() if n},
        of_one=of_one.value,
        characters=held.value,
        material=material.value,
        colour=colour.value,
        height=height.value,
    )


def _price(spot: Spot) -> int:
    """The price in hundredths, of `4`, `4.5`, `4.50` or `4,50`; free things are no purchase."""
    found = re.fullmatch(r"([0-9]{1,6})(?:[.,]([0-9]{1,2}))?", spot.scalar())
    price = 0 if found is None else int(found[1]) * 100 + int((found[2] or "0").ljust(2, "0"))
    if not price:
        raise spot.wrong(say("catalog.asked.price"), allowed="4, 4.50")
    return price


def _drawer(materials: frozenset[str] | None, spot: Spot) -> Stock:
    f = spot.fields(("material", "colour", "height", "pieces"), ("layer",))
    material, colour = f.get("material", reference(materials)), f.get("colour", word)
    height, held = f.get("height", length), f.get("pieces", pieces)
    layer, layers = f.get_or("layer", _layer, (1, 1)).value
    return Stock(material.value, colour.value, height.value, held.value, layer, layers)


def _layer(spot: Spot) -> tuple[int, int]:
    found = re.fullmatch(r"([1-9]) of ([1-9])", spot.scalar())
    if found is None or not int(found[1]) <= int(found[2]) <= MOST_LAYERS:
        raise spot.wrong(say("catalog.asked.layer"), allowed="1 of 2")
    return int(found[1]), int(found[2])
