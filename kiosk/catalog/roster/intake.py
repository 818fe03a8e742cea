"""Reads what a job says about its roster: settled columns, garments received, a league's code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from kiosk.catalog.base.message import say
from kiosk.catalog.base.notes import listed, nearest_word
from kiosk.catalog.base.spots import Fields, Got, Spot
from kiosk.catalog.base.values import reference, whole, word
from kiosk.catalog.model.orders import BY_CODE, size_named
from kiosk.catalog.model.rules import Code, CodeRule, season_text
from kiosk.catalog.model.sheets import Catalog
from kiosk.catalog.roster.headers import COLUMNS
from kiosk.catalog.rules.leagues import season

INTAKE = ("columns", "received", "code", "season")
MOST_RECEIVED = 9_999
NO_HEADERS: Mapping[str, str] = {}
NO_WORD: str | None = None
NO_YEAR: int | None = None


@dataclass(frozen=True, slots=True)
class Received:
    """The garments that came, by size code, with the place in job.yaml that says so."""

    spot: Spot
    sizes: Mapping[str, int]
    spots: Mapping[str, Spot]


@dataclass(frozen=True, slots=True)
class Intake:
    """What a job says about its roster: headers by field, garments, the code and its rule."""

    columns: Mapping[str, str] = field(default_factory=dict)
    received: Received | None = None
    code: Code | None = None
    rule: CodeRule | None = None


def intake(f: Fields, catalog: Catalog) -> Intake:
    """Return what the keys INTAKE of a job.yaml say; a faulty one is noted and left out.

    A code that has another rule each season asks for the season.
    """
    headers = f.get_or("columns", _headers, NO_HEADERS)
    nothing: Received | None = None
    received = f.get_or("received", _received, nothing)
    key = f.get_or("code", reference(catalog.known("codes"), catalog.codes), NO_WORD)
    year = f.get_or("season", season, NO_YEAR)
    code = catalog.codes.get(key.value or "") if key.sound else None
    if "season" in f.entries and "code" not in f.entries:
        f.entries["season"].wrong(say("catalog.code.no_code"))
    return Intake(
        headers.value if headers.sound else NO_HEADERS,
        received.value if received.sound else None,
        code,
        None if code is None or not year.sound else _rule(f, code, year),
    )


def _rule(f: Fields, code: Code, year: Got[int | None]) -> CodeRule | None:
    rule = code.rule(year.value)
    if rule is None:
        seasons = tuple(_seasons(each) for each in code.rules)
        if year.value is None:
            spot, problem = f.entries["code"], say("catalog.code.which_season")
        else:
            spot, problem = f.entries["season"], say("catalog.code.no_season")
        spot.notes.add(
            problem, line=spot.line, key=spot.key, found=code.key, allowed=listed(seasons),
            question=True,
        )  # fmt: skip
    return rule


def _seasons(rule: CodeRule) -> str:
    first, last = ("" if y is None else season_text(y) for y in (rule.first, rule.last))
    return f"{first}…{last}"


def _headers(spot: Spot) -> Mapping[str, str]:
    f = spot.fields((), COLUMNS)
    got = {name: f.get(name, word) for name in f.entries if name in COLUMNS}
    return {name: header.value for name, header in got.items()}


def _received(spot: Spot) -> Received:
    sizes: dict[str, int] = {}
    spots: dict[str, Spot] = {}
    failed = None
    for name, entry in spot.entries().items():
        size = size_named(name)
        if size is None or size.code in sizes:
            problem = "catalog.roster.size" if size is None else "catalog.recipe.twin"
            near = nearest_word(name[:12], BY_CODE, 0.5) if size is None else ""
            failed = entry.notes.add(
                say(problem), line=entry.line, key=entry.key, found=name,
                allowed=", ".join(BY_CODE), nearest=near,
            )  # fmt: skip
        else:
            sizes[size.code] = whole(0, MOST_RECEIVED)(entry)
            spots[size.code] = entry
    if failed is not None:
        raise failed
    return Received(spot, sizes, spots)
