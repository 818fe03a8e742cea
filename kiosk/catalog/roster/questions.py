"""A job's statements about its roster, and the questions that both together raise."""

import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import field, replace

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.fields import LEFT_OUT, Field, FieldTable, Values
from kiosk.catalog.base.notes import Fault, Notes, Unsound, characters, listed, nearest_word, say
from kiosk.catalog.base.spots import Spot, ValueRead
from kiosk.catalog.base.values import list_of, reference, whole, word
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import BY_CODE, RosterLine, size_named
from kiosk.catalog.model.recipes import Recipe
from kiosk.catalog.model.rules import Code, CodeRule, season_text
from kiosk.catalog.model.sheets import Material
from kiosk.catalog.roster.answers import Answers
from kiosk.catalog.roster.headers import COLUMNS
from kiosk.catalog.roster.roster import Roster, read_table, roster_of
from kiosk.catalog.roster.rows import Placed
from kiosk.catalog.roster.settling import Edits, settle
from kiosk.catalog.roster.suggestions import plain_form
from kiosk.catalog.roster.tables import TableRow, by_line
from kiosk.catalog.rules import Face, all_characters, read_face, season

MOST_RECEIVED = 9_999
NO_HEADERS: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True)
class Received:
    """The garments received, by size code, with their places in job.yaml."""

    spot: Spot
    sizes: Mapping[str, int]
    spots: Mapping[str, Spot]


@dataclass(frozen=True, slots=True)
class Intake:
    """A job's statements about its roster.

    Headers by field, unused headers, garments received, the league's code and its rule.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    unused: frozenset[str] = frozenset()
    received: Received | None = None
    code: Code | None = None
    rule: CodeRule | None = None


def intake_fields(catalog: Catalog) -> tuple[Field, ...]:
    """Return the fields of a job.yaml that are about its roster."""
    return (
        Field("columns", _headers, NO_HEADERS),
        Field("unused", list_of(word), ()),
        Field("received", _received, None),
        Field("code", reference(catalog.keys_of("codes"), catalog.codes), None),
        Field("season", season, None),
    )


def read_intake(values: Values, catalog: Catalog) -> Intake:
    """Return the values of those fields; a faulty one is noted and left out.

    For a code with a rule for each season, a missing season raises a question.
    """
    headers, unused, received, key, year = (
        values.results[name] for name in ("columns", "unused", "received", "code", "season")
    )
    code = catalog.codes.get(key.value or "") if key.sound else None
    if "season" in values.entries and "code" not in values.entries:
        values.entries["season"].wrong(say("catalog.code.no_code"))
    return Intake(
        headers.value if headers.sound else NO_HEADERS,
        frozenset(unused.value if unused.sound else ()),
        received.value if received.sound else None,
        code,
        None if code is None or not year.sound else _rule(values, code, year),
    )


def _rule(values: Values, code: Code, year: ValueRead[int | None]) -> CodeRule | None:
    rule = code.rule(year.value)
    if rule is None:
        seasons = tuple(_seasons(each) for each in code.rules)
        if year.value is None:
            spot, problem = values.entries["code"], say("catalog.code.which_season")
        else:
            spot, problem = values.entries["season"], say("catalog.code.no_season")
        spot.notes.add(
            problem, line=spot.line, key=spot.key, found=code.key, allowed=listed(seasons),
            question=True,
        )  # fmt: skip
    return rule


def _seasons(rule: CodeRule) -> str:
    first, last = ("" if y is None else season_text(y) for y in (rule.first, rule.last))
    return f"{first}…{last}"


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


LetterSets = Mapping[str, frozenset[str]]


def letter_sets(recipe: Recipe | None, materials: Mapping[str, Material]) -> LetterSets:
    """Return, for `name` and `number`, the characters in the pre-cut sets of all its layers.

    An element whose materials are all cut on demand has no entry.
    """
    found: dict[str, frozenset[str]] = {}
    panels = () if recipe is None else recipe.panels
    for element in (element for panel in panels for element in panel.elements):
        for layer in element.layers:
            sheet = materials.get(layer.material)
            if sheet is None or sheet.letters is None or element.name not in {"name", "number"}:
                continue
            found[element.name] = found.get(element.name, sheet.letters) & sheet.letters
    return found


def check_roster(
    placed: Iterable[Placed], intake: Intake, letters: LetterSets, notes: Notes
) -> None:
    """Note the roster's questions about the face, the pre-cut letters and the league's code."""
    rows = tuple(placed)
    _check_face(rows, read_face(), notes)
    for element, known in letters.items():
        _check_letters(rows, element, known, notes)
    if intake.code is not None and intake.rule is not None:
        _check_code(rows, intake.code, intake.rule, notes)


@dataclass
class RosterReading:
    """One roster file, read with the answers to its questions."""

    name: str
    data: bytes
    elements: frozenset[str]
    intake: Intake
    letters: LetterSets

    def read(self, answers: Answers, notes: Notes) -> Roster:
        """Return the garments and note the open questions. Raises Unsound if it has no lines."""
        tables: dict[frozenset[str], tuple[tuple[TableRow, ...], tuple[Fault, ...]]] = {}
        found: list[Roster] = []

        def read(edits: Edits) -> tuple[Fault, ...]:
            found.clear()
            if edits.choices not in tables:
                tables[edits.choices] = self._table(edits.choices, Notes(notes.file))
            table, faults = tables[edits.choices]
            rows.clear()
            rows.update(by_line(table))
            own = Notes(notes.file)
            with suppress(Unsound):
                found.append(self._roster(table, edits, own))
            unused = edits.unused | self.intake.unused
            return tuple(_without_known_hidden((*faults, *own.faults), unused))

        rows: dict[int, tuple[str, ...]] = {}
        notes.take(settle(read, lambda line: rows.get(line, ()), answers))
        if not found:
            raise Unsound
        return found[0]

    def _table(
        self, choices: frozenset[str], notes: Notes
    ) -> tuple[tuple[TableRow, ...], tuple[Fault, ...]]:
        table = tuple[TableRow, ...]()
        with suppress(Unsound):
            table = read_table(self.name, self.data, self.intake.columns, notes, choices)
        return table, notes.faults

    def _roster(self, table: tuple[TableRow, ...], edits: Edits, notes: Notes) -> Roster:
        if not table:
            raise Unsound
        edits = replace(edits, unused=edits.unused | self.intake.unused)
        found = roster_of(table, self.elements, notes, self.intake.columns, edits)
        check_roster(found.placed, self.intake, self.letters, notes)
        return found


def _without_known_hidden(faults: Iterable[Fault], unused: frozenset[str]) -> Iterator[Fault]:
    """Yield the faults without those of hidden columns that are unused or asked about anyway."""
    found = tuple(faults)
    unknown = (f.found for f in found if f.problem.id == "catalog.roster.unknown_column")
    asked_about = {*unknown, *unused}
    for fault in found:
        if fault.problem.id != "catalog.roster.hidden_column" or fault.found not in asked_about:
            yield fault


def _check_face(rows: tuple[Placed, ...], face: Face, notes: Notes) -> None:
    """Ask per line about letters that no face has, and once about those of the spare face."""
    borrowed: dict[str, None] = {}
    for row, line in rows:
        others = [c for c in all_characters(line.name) if _is_letter(c) and c not in face.glyphs]
        lacking = tuple(dict.fromkeys(c for c in others if face.holder(c) is None))
        if lacking:
            problem = say("catalog.roster.no_glyph", letters=lacking)
            notes.add(problem, line=row.line, key="name", found=line.name, question=True)
        borrowed |= dict.fromkeys(c for c in others if c not in lacking)
    if borrowed and face.spare is not None:
        problem = say(
            "catalog.roster.other_face",
            letters=tuple(borrowed), face=face.title, other=face.spare.title, count=len(borrowed),
        )  # fmt: skip
        notes.add(problem, key="name", question=True)


def _is_letter(character: str) -> bool:
    """Return whether it is a letter to be cut; other signs and forms have their own questions."""
    return unicodedata.category(character[0])[0] == "L" and plain_form(character) == character


def _check_letters(
    rows: tuple[Placed, ...], element: str, known: frozenset[str], notes: Notes
) -> None:
    """Ask per line about missing letters; small letters for a set of capitals are asked once."""
    small = 0
    for row, line in rows:
        text = line.name if element == "name" else line.number
        lacking = dict.fromkeys(c for c in characters(text) if c not in known)
        missing = tuple(c for c in lacking if c.upper() not in known)
        small += len(missing) < len(lacking)
        if missing:
            problem = say("catalog.roster.no_letter", letters=missing)
            notes.add(problem, line=row.line, key=element, found=text, question=True)
    if small:
        notes.add(say("catalog.roster.capitals", count=small), key=element, question=True)


def _check_code(rows: tuple[Placed, ...], code: Code, rule: CodeRule, notes: Notes) -> None:
    numbers_by_set: dict[str, dict[str, int]] = {}
    for row, line in rows:
        if not line.number:
            continue
        if line.number not in rule.numbers:
            problem = say("catalog.code.number", code=code.title, source=rule.source)
            notes.add(problem, line=row.line, key="number", found=line.number, question=True)
        own_set = numbers_by_set.setdefault(line.set.casefold(), {})
        own_set.setdefault(line.number, row.line)
    for numbers in numbers_by_set.values():
        _check_together(numbers, code, rule, notes)


def _check_together(numbers: Mapping[str, int], code: Code, rule: CodeRule, notes: Notes) -> None:
    if len(rule.not_together) > 1 and rule.not_together <= numbers.keys():
        together = tuple(sorted(rule.not_together))
        title, source = code.title, rule.source
        problem = say("catalog.code.together", code=title, numbers=together, source=source)
        line = max(numbers[number] for number in together)
        notes.add(problem, line=line, key="number", question=True)


def check_received(lines: Iterable[RosterLine], received: Received) -> None:
    """Ask about each size received short or over; unknown sizes have their own question."""
    ordered = Counter(line.size for line in lines if line.size in BY_CODE)
    for size in BY_CODE:
        arrived, needed = received.sizes.get(size, 0), ordered[size]
        if arrived == needed:
            continue
        spot = received.spots.get(size, received.spot)
        problem = say(
            "catalog.received.short" if arrived < needed else "catalog.received.over",
            size=size,
            ordered=needed,
            received=arrived,
            count=abs(needed - arrived),
        )
        spot.notes.add(problem, line=spot.line, key=spot.key, question=True)


_headers = FieldTable(dict[str, str], tuple(Field(name, word, LEFT_OUT) for name in COLUMNS))
