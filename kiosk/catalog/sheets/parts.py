"""Read parts of a sheet: bands, pressure, cover sheet, tack, waits and sources."""

from collections.abc import Callable
from functools import partial
from itertools import pairwise
from typing import Any, Generic, TypeVar

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.fields import (
    LEFT_OUT,
    Field,
    FieldTable,
    Prompt,
    Values,
    in_turn,
    note_keys,
    read_fields,
    rising,
)
from kiosk.catalog.base.notes import Unsound, listed, nearest_word, say
from kiosk.catalog.base.quantities import LONGEST_SECONDS, Pressure, Temperature
from kiosk.catalog.base.spots import Spot, ValueRead, attempt
from kiosk.catalog.base.values import (
    OneOf,
    SomeOf,
    in_order,
    seconds,
    setting,
    some_seconds,
    source_date,
    temperature,
    whole,
    word,
)
from kiosk.catalog.model import sheets
from kiosk.catalog.model.source import ALL_GUESSED, DETAILS, Source, SourceKind, Sources

B = TypeVar("B")
FROM_AND_TO = (Field("from", temperature), Field("to", temperature))


@dataclass(frozen=True, slots=True)
class BandSpan:
    """The temperature range of one band, both ends included, with its place in the file."""

    spot: Spot
    start: Temperature
    end: Temperature


@dataclass(frozen=True, slots=True)
class Bands(Generic[B]):
    """A list of bands: `spans` from cold to hot, empty if one of them could not be read."""

    spot: Spot
    spans: tuple[BandSpan, ...]
    values: ValueRead[tuple[B, ...]]


@dataclass(frozen=True, slots=True)
class BandList(Generic[B]):
    """A reader of bands with `from`, `to` and the `rest`; overlaps are noted.

    With `without_holes` so are holes; else a sheet may have holes, and nothing is pressed at those
    temperatures.
    """

    make: Callable[..., B]
    rest: tuple[Field, ...]
    check: Callable[[Values], None] | None = None
    without_holes: bool = False

    def __call__(self, spot: Spot) -> Bands[B]:
        """Return the bands; if one could not be read, its ValueRead is not sound."""
        results = [attempt(self._one, item) for item in spot.items()]
        spans = attempt(lambda _: [span.value for span, _ in (g.value for g in results)], spot)
        ordered = _in_rising_order(spans.value) if spans.sound else ()
        _check_between(ordered, self.without_holes)
        values = attempt(lambda _: tuple(self._band(*g.value) for g in results), spot)
        return Bands(spot, ordered, values)

    def _one(self, spot: Spot) -> tuple[ValueRead[BandSpan], ValueRead[dict[str, object]]]:
        rest, check = self.rest, self.check
        values = read_fields(spot, (*FROM_AND_TO, *rest))
        span = attempt(lambda _: _span(values), spot)
        checks = attempt(lambda _: check(values) if check else None, spot)
        return span, attempt(lambda _: checks.value or {f.key: values[f.key] for f in rest}, spot)

    def _band(self, span: ValueRead[BandSpan], others: ValueRead[dict[str, object]]) -> B:
        return self.make(span.value.start, span.value.end, **others.value)


@dataclass(frozen=True, slots=True)
class PeelBands(BandList[B]):
    """A reader of bands of allowed peels; an empty list is for materials without a carrier."""

    def __call__(self, spot: Spot) -> Bands[B]:
        """Return the bands; none for an empty list."""
        if isinstance(spot.node, yaml.SequenceNode) and not spot.node.value:
            return Bands(spot, (), ValueRead(((),)))
        return BandList.__call__(self, spot)


def check_ends(bands: Bands[B], low: Temperature, high: Temperature) -> None:
    """Note a hole if `bands` begin above `low` or end below `high`.

    As between the bands, whole degrees of the bands' own unit are counted: 260-279 and 280-300
    leave no hole.
    """
    if not bands.spans:
        return
    unit = bands.spans[0].start.unit
    first, last = low.whole_in(unit), high.whole_in(unit)
    start = bands.spans[0].start.whole_in(unit)
    end = max(span.end.whole_in(unit) for span in bands.spans)
    for hole in ((first, min(start - 1, last)), (max(end + 1, first), last)):
        if hole[0] <= hole[1]:
            _note_hole(bands.spot, *hole, unit.value)


def _span(values: Values) -> BandSpan:
    in_order(values.spot, ("from", values["from"]), ("to", values["to"]))
    return BandSpan(values.spot, values["from"], values["to"])


def _in_rising_order(spans: list[BandSpan]) -> tuple[BandSpan, ...]:
    unit = spans[0].start.unit
    return tuple(sorted(spans, key=lambda span: span.start.exact_in(unit)))


def _check_between(spans: tuple[BandSpan, ...], without_holes: bool) -> None:
    for below, above in pairwise(spans):
        unit = spans[0].start.unit
        end, start = below.end.whole_in(unit), above.start.whole_in(unit)
        if start > end + 1 and without_holes:
            _note_hole(above.spot, end + 1, start - 1, unit.value)
        elif start <= end:
            above.spot.notes.add(
                say("catalog.bands.overlap", degree=f"{start} {unit.value}"),
                line=above.spot.line,
                key=f"{above.spot.key}.from",
                found=above.start.text,
            )


def _note_hole(spot: Spot, first: int, last: int, unit: str) -> None:
    spot.notes.add(
        say("catalog.bands.hole", first=f"{first} {unit}", last=f"{last} {unit}"),
        line=spot.line,
        key=spot.key,
    )


PRESSURES = {p.word: p for p in Pressure}
PEELS = {p.word: p for p in sheets.Peel}
OFF_RULES = {r.value: r for r in sheets.SheetRule}
ON_RULES = {w: r for w, r in OFF_RULES.items() if r is not sheets.SheetRule.NO_PRESS}


_rises = rising("low", "normal", "high")


def _three(read: Callable[[Spot], object], fallback: str) -> tuple[Field, ...]:
    """Return the fields low, high and normal; those left out are taken from those given."""
    return (
        Field("low", read, prompt=Prompt(fallback, ("normal", "high"))),
        Field("high", read, prompt=Prompt(fallback, ("normal", "low"))),
        Field("normal", read, prompt=Prompt(fallback, ("low", "high"), middle=True)),
    )


# Values used if nothing is known: common practice, no source.
_TIMES = _three(some_seconds, "15 s")
_TACKS = _three(some_seconds, "3 s")
window = FieldTable(sheets.TemperatureWindow, _three(setting, "300 F / 150 C"), (_rises,))
dwell_bands = BandList(sheets.DwellBand, _TIMES, check=_rises)
peel_bands = PeelBands(sheets.PeelBand, (Field("allowed", SomeOf(PEELS), prompt=Prompt("[cold]")),))
pressure = FieldTable(
    in_turn,
    (
        Field("low", OneOf(PRESSURES), prompt=Prompt("medium", ("high",))),
        Field("high", OneOf(PRESSURES), prompt=Prompt("medium", ("low",))),
    ),
    (rising("low", "high"),),
)
cover_sheet = FieldTable(
    in_turn,
    (
        Field("carrier_on", OneOf(ON_RULES), prompt=Prompt("optional", only=("carrier", "yes"))),
        Field("carrier_off", OneOf(OFF_RULES), prompt=Prompt("required")),
    ),
)
"""The rule with the carrier on (never `no_press`) and with it off."""
tack = FieldTable(
    sheets.Tack, (*_TACKS, Field("peel", SomeOf(PEELS), prompt=Prompt("[hot]"))), (_rises,)
)
_wait = FieldTable(
    sheets.Wait,
    (
        Field("from", seconds, into="start", prompt=Prompt()),
        Field("to", seconds, into="end", prompt=Prompt(f"{LONGEST_SECONDS} s")),
    ),
    (rising("from", "to"),),
)


def _by_peel(**waits: sheets.Wait) -> dict[sheets.Peel, sheets.Wait]:
    return {PEELS[name]: wait for name, wait in waits.items()}


_LATER = (sheets.Peel.WARM.word, sheets.Peel.COLD.word)  # a hot peel has no wait
peel_wait = FieldTable(
    _by_peel,
    tuple(
        Field(name, _wait, LEFT_OUT, prompt=Prompt(only=("peel", name)) if name in _LATER else None)
        for name in PEELS
    ),
    some=True,
)


KINDS = {kind.value: kind for kind in SourceKind}
MOST_GARMENTS = 10_000
NO_KEYS: dict[str, Source] = {}


def sources(known: tuple[str, ...]) -> Callable[[Spot], Sources]:
    """Return a reader of an owner's `source`; `known` are the owner's keys."""

    def read(spot: Spot) -> Sources:
        if isinstance(spot.node, yaml.ScalarNode):
            return Sources(_plain_word(spot))
        entries = spot.entries()
        by_key = attempt(partial(_by_key, known), entries["keys"]) if "keys" in entries else None
        owner = _source(spot, ("keys",))
        return Sources(owner, by_key.value if by_key else NO_KEYS)

    return read


def source_of(*numbers: Field) -> Field:
    """Return the field for the sources of those numbers of a sheet."""
    return Field("source", sources(tuple(field.key for field in numbers)), ALL_GUESSED)


def one_source(spot: Spot) -> Source:
    """Return one source, written as a plain word or as a map of its kind and details."""
    return _plain_word(spot) if isinstance(spot.node, yaml.ScalarNode) else _source(spot)


def _plain_word(spot: Spot) -> Source:
    return Source(OneOf(KINDS)(spot))


def _source(spot: Spot, extra_keys: tuple[str, ...] = ()) -> Source:
    entries = spot.entries()
    kind = attempt(OneOf(KINDS), entries["kind"]) if "kind" in entries else None
    known = DETAILS[kind.value] if kind is not None and kind.sound else tuple(READERS)
    details = tuple(Field(name, READERS[name], LEFT_OUT) for name in known)
    others = (Field(name, word, LEFT_OUT) for name in extra_keys)
    note_keys(spot, entries, (Field("kind", OneOf(KINDS)), *details, *others))
    results = {f.key: attempt(f.read, entries[f.key]) for f in details if f.key in entries}
    found: dict[str, Any] = {name: each.value for name, each in results.items()}
    if kind is None:
        raise Unsound
    return Source(kind.value, **found)


def _by_key(known: tuple[str, ...], spot: Spot) -> dict[str, Source]:
    """Return the sources of single keys; a key outside `known` is noted."""
    results: dict[str, ValueRead[Source]] = {}
    for name, entry in spot.entries().items():
        if name in known:
            results[name] = attempt(one_source, entry)
        else:
            entry.wrong(
                say("catalog.key.unknown"), allowed=listed(known), nearest=nearest_word(name, known)
            )
    return {name: each.value for name, each in results.items()}


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
