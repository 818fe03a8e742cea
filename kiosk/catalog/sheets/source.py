"""Reads `source`: a plain word, or its kind with details and with other sources by key."""

import json
from collections.abc import Callable
from functools import partial
from typing import Any

import yaml

from kiosk.catalog.base.fields import LEFT_OUT, Field, note_keys
from kiosk.catalog.base.notes import Unsound, listed, nearest_word, say
from kiosk.catalog.base.spots import Got, Spot, attempt
from kiosk.catalog.base.values import OneOf, source_date, whole, word
from kiosk.catalog.model.source import ALL_GUESSED, Source, SourceKind, Sources

KINDS = {kind.value: kind for kind in SourceKind}
DETAILS = {
    SourceKind.SUPPLIER_SHEET: ("title", "date"),
    SourceKind.SHOP_TRIAL: ("date", "initials", "garments", "looked_at", "at", "wash", "stretch"),
    SourceKind.PUBLISHED: ("work", "edition"),
    SourceKind.GUESS: (),
}
MOST_GARMENTS = 10_000
NO_KEYS: dict[str, Source] = {}


def sources(known: tuple[str, ...]) -> Callable[[Spot], Sources]:
    """Return a reader of an owner's `source`; `known` are the owner's keys."""

    def read(spot: Spot) -> Sources:
        if isinstance(spot.node, yaml.ScalarNode):
            return Sources(_word(spot))
        entries = spot.entries()
        by_key = attempt(partial(_by_key, known), entries["keys"]) if "keys" in entries else None
        owner = _source(spot, ("keys",))
        return Sources(owner, by_key.value if by_key else NO_KEYS)

    return read


def source_of(*numbers: Field) -> Field:
    """Return the field that says where those numbers of a sheet come from."""
    return Field("source", sources(tuple(field.key for field in numbers)), ALL_GUESSED)


def one_source(spot: Spot) -> Source:
    """Return one source: a plain word, or a map of its kind and details."""
    return _word(spot) if isinstance(spot.node, yaml.ScalarNode) else _source(spot)


def _word(spot: Spot) -> Source:
    return Source(OneOf(KINDS)(spot))


def _source(spot: Spot, also: tuple[str, ...] = ()) -> Source:
    entries = spot.entries()
    kind = attempt(OneOf(KINDS), entries["kind"]) if "kind" in entries else None
    known = DETAILS[kind.value] if kind is not None and kind.sound else tuple(READERS)
    details = tuple(Field(name, READERS[name], LEFT_OUT) for name in known)
    others = (Field(name, word, LEFT_OUT) for name in also)
    note_keys(spot, entries, (Field("kind", OneOf(KINDS)), *details, *others))
    got = {f.key: attempt(f.read, entries[f.key]) for f in details if f.key in entries}
    found: dict[str, Any] = {name: each.value for name, each in got.items()}
    if kind is None:
        raise Unsound
    return Source(kind.value, **found)


def _by_key(known: tuple[str, ...], spot: Spot) -> dict[str, Source]:
    """Return the sources of single keys; a key that the owner cannot have is noted."""
    got: dict[str, Got[Source]] = {}
    for name, entry in spot.entries().items():
        if name in known:
            got[name] = attempt(one_source, entry)
        else:
            entry.wrong(
                say("catalog.key.unknown"), allowed=listed(known), nearest=nearest_word(name, known)
            )
    return {name: each.value for name, each in got.items()}


READERS: dict[str, Callable[[Spot], str | int]] = {
    "title": word,
    "date": source_date,
    "initials": word,
    "garments": whole(1, MOST_GARMENTS),
    "looked_at": word,
    "at": word,
    "wash": word,
    "stretch": word,
    "work": word,
    "edition": word,
}


def written(found: Sources) -> str:
    """Return sources as YAML on one line, as `sources` reads them."""
    if not found.keys:
        return _written(found.owner)
    keys = ", ".join(f"{name}: {_written(each)}" for name, each in found.keys.items())
    details = _details(found.owner)
    return f"{{{', '.join((*details, f'keys: {{{keys}}}'))}}}"


def _written(source: Source) -> str:
    details = _details(source)
    return source.kind.value if len(details) == 1 else f"{{{', '.join(details)}}}"


def _details(source: Source) -> list[str]:
    """The kind, then each detail that is known; people's words in quotes."""
    known = {name: getattr(source, name) for name in DETAILS[source.kind]}
    plain = ("date", "garments")
    return [
        f"kind: {source.kind.value}",
        *(
            f"{name}: {value if name in plain else json.dumps(value, ensure_ascii=False)}"
            for name, value in known.items()
            if value
        ),
    ]
