"""The questions for a new material, fabric or press, in the order of a supplier's sheet."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import field
from enum import Enum
from typing import Any

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.fields import REQUIRED, Field, FieldTable, Prompt
from kiosk.catalog.base.notes import Message, say
from kiosk.catalog.base.quantities import Degrees, WrongAmountError, nearest
from kiosk.catalog.base.quantities import temperature as temperature_of
from kiosk.catalog.base.values import Amount, OneOf, OrNull, SomeOf, flag, source_date, temperature
from kiosk.catalog.model.source import DETAILS, GUESS, Source, SourceKind, Sources, yaml_text
from kiosk.catalog.sheets.materials import FABRIC, MATERIAL
from kiosk.catalog.sheets.parts import READERS, BandList
from kiosk.catalog.sheets.shop import PRESS

Answers = Mapping[str, str | None]
"""The answers by path (`dwell.1.low`); None if the sheet does not say."""

TABLES: Mapping[str, FieldTable[Any]] = {"material": MATERIAL, "fabric": FABRIC, "press": PRESS}
SOURCES = tuple(kind for kind in SourceKind if kind is not SourceKind.SHOP_TRIAL)
MOST_BANDS = 4
_PLAIN = re.compile(r"[\w°.%/ -]+")
_YES_NO = {"yes": True, "no": False}
YES_NO = tuple(_YES_NO)
MORE = "more"  # the last part of the path of the question for another band
_YAML_WORDS = frozenset(["yes", "no", "true", "false", "on", "off", "null", "y", "n", "~"])


class AnswerForm(Enum):
    """The form of a question's answer."""

    AMOUNT = "amount"
    CHOICE = "choice"
    SOME = "some"
    TEXT = "text"
    DAY = "day"


@dataclass(frozen=True, slots=True)
class SheetQuestion:
    """A question about one value of a sheet. `options` are words to choose from, or units.

    `fallback` is the value used if the sheet does not say, as written in a file; empty if the key
    is then left out. `middle`: that value is the middle of the sheet's range.
    """

    path: str
    text: Message
    form: AnswerForm
    options: tuple[str, ...] = ()
    sides: int = 1
    fallback: str = ""
    middle: bool = False


@dataclass(frozen=True, slots=True)
class NewEntry:
    """The result of the answers: all questions so far, and the keys of the file's entry.

    `guessed` are the paths of values that no sheet gives; `middles` those of the middle of the
    sheet's range, which the sheet does not give either.
    """

    questions: tuple[SheetQuestion, ...]
    keys: Mapping[str, object]
    guessed: tuple[str, ...]
    middles: tuple[str, ...]


def entry_of(kind: str, answers: Answers, scale: Degrees) -> NewEntry:
    """Return the entry that `answers` make; unanswered questions count as not in the sheet."""
    table, walk = TABLES[kind], _Walk(answers, scale)
    source = _source(walk)
    keys = walk.keys(table.fields, ())
    guessed = (*walk.guessed, *walk.middles)
    unsourced = {path.partition(".")[0] for path in guessed if "." in path or path in keys}
    guesses = {} if source.is_guess else {key: GUESS for key in keys if key in unsourced}
    keys["source"] = yaml_text(Sources(source, guesses))
    return NewEntry(_waits_first(walk.questions), keys, tuple(walk.guessed), tuple(walk.middles))


def _waits_first(questions: list[SheetQuestion]) -> tuple[SheetQuestion, ...]:
    """Return the questions with the peel at higher temperatures moved after the peel waits."""
    higher = [q for q in questions if re.match(r"peel\.[^1]", q.path)]
    rest = [q for q in questions if q not in higher]
    at = 1 + max((n for n, q in enumerate(rest) if re.match(r"peel(_wait)?\.", q.path)), default=0)
    return (*rest[:at], *higher, *rest[at:])


def _source(walk: _Walk) -> Source:
    words = tuple(kind.value for kind in SOURCES)
    question = SheetQuestion(
        "source", say("entry.ask.source"), AnswerForm.CHOICE, words, 1, "guess"
    )
    walk.questions.append(question)
    kind = walk.answers.get("source") or SourceKind.GUESS.value
    details: dict[str, Any] = {}
    for name in DETAILS[SourceKind(kind)] if kind in words else ():
        form = AnswerForm.DAY if READERS[name] is source_date else AnswerForm.TEXT
        walk.questions.append(
            SheetQuestion(f"source.{name}", say(f"entry.ask.source.{name}"), form)
        )
        details[name] = walk.answers.get(f"source.{name}") or ""
    return Source(SourceKind(kind) if kind in words else SourceKind.GUESS, **details)


@dataclass
class _Walk:
    """A walk over the fields of a table, in order; `values` holds each field's value by path."""

    answers: Answers
    scale: Degrees
    questions: list[SheetQuestion] = field(default_factory=list)
    guessed: list[str] = field(default_factory=list)
    middles: list[str] = field(default_factory=list)
    values: dict[str, str] = field(default_factory=dict)

    def keys(self, fields: Iterable[Field], path: tuple[str, ...]) -> dict[str, object]:
        """Return the map of the fields below `path`; empty if a required one is left out."""
        found: dict[str, object] = {}
        for each in fields:
            if each.prompt is None:
                continue
            value = self._value(each, each.prompt, (*path, each.key))
            if value is not None:
                found[each.key] = value
            elif path and each.default is REQUIRED:
                return {}
        return found

    def _value(self, each: Field, prompt: Prompt, path: tuple[str, ...]) -> object:
        if not self._applies(prompt.only):
            return prompt.fallback or None
        read = each.read
        if isinstance(read, OrNull) and isinstance(read.read, FieldTable):
            given = self._leaf(path, OneOf(_YES_NO), prompt._replace(fallback="no"))
            if given != "yes":
                return prompt.fallback
            read = read.read
        if isinstance(read, FieldTable):
            return self.keys(read.fields, path) or None
        if isinstance(read, BandList):
            return self._bands(read, prompt, path)
        return self._leaf(path, read, prompt)

    def _applies(self, only: tuple[str, ...]) -> bool:
        if not only:
            return True
        below = [v for p, v in self.values.items() if p == only[0] or p.startswith(f"{only[0]}.")]
        return any(word in re.split(r"[\[\], ]+", each) for each in below for word in only[1:])

    # -- one value ------------------------------------------------------------

    def _leaf(self, path: tuple[str, ...], read: object, prompt: Prompt) -> str | None:
        """Ask for one value; return it as written in a file, or None if the key is left out."""
        name = ".".join(path)
        if prompt.middle and (only := self._only_number(path, prompt)) is not None:
            self.values[name] = only
            return only
        fallback, is_guess = self._default(path, prompt)
        form, options, sides = _form(read)
        fallback_text = "" if fallback is None else fallback
        middle = is_guess and prompt.middle and all(self._like_answers(path, prompt))
        text = self._question_text(path)
        self.questions.append(
            SheetQuestion(name, text, form, options, sides, fallback_text, middle)
        )
        answer = self.answers.get(name)
        if answer is not None:
            value: str | None = _as_list(answer) if form is AnswerForm.SOME else _quoted(answer)
        else:
            value = fallback
            if is_guess and value is not None:
                (self.middles if middle else self.guessed).append(name)
        if value is not None:
            self.values[name] = value
        return value

    def _like_answers(self, path: tuple[str, ...], prompt: Prompt) -> list[str | None]:
        """Return the answers for the neighbouring keys named in `like`."""
        return [self.answers.get(".".join((*path[:-1], key))) for key in prompt.like]

    def _only_number(self, path: tuple[str, ...], prompt: Prompt) -> str | None:
        """Return the sheet's number if its low and high are equal, else None."""
        ends = set(self._like_answers(path, prompt))
        return _quoted(end) if len(ends) == 1 and (end := ends.pop()) is not None else None

    def _question_text(self, path: tuple[str, ...]) -> Message:
        words = [part for part in path if not part.isdigit()]
        if words[-1] == "carrier_off" and self.values.get("carrier") == "no":
            words[-1] = "bare"  # only one pressing, and no carrier comes off
        start = self.values.get(".".join((*path[:-1], "from")), "")
        if start and path[-2].isdigit():
            return say(f"entry.ask.{'.'.join(words)}.more", start=start)
        return say(f"entry.ask.{'.'.join(words)}")

    def _default(self, path: tuple[str, ...], prompt: Prompt) -> tuple[str | None, bool]:
        """Return the value used if the sheet does not say, and whether that is a guess."""
        given = [_quoted(each) for each in self._like_answers(path, prompt) if each is not None]
        if prompt.middle and len(given) > 1 and (middle := _middle(*given[:2])) is not None:
            return middle, middle not in given
        if given:
            return given[0], False
        last = [*path]
        if path[-1] != "from" and path[-2:-1] and path[-2].isdigit() and int(path[-2]) > 1:
            last[-2] = str(int(path[-2]) - 1)
            return self.values.get(".".join(last)), True
        by_scale = prompt.fallback.split(" / ")
        chosen = by_scale[-1 if self.scale is Degrees.C else 0]
        return chosen or None, True

    # -- bands ----------------------------------------------------------------

    def _bands(self, read: BandList[Any], prompt: Prompt, path: tuple[str, ...]) -> object:
        """Ask for the values of each band as long as the sheet has another; return the bands."""
        low, high = (self.values.get(end, "") for end in prompt.like)
        starts, bands = [low or f"0 {high[-1:]}"], []
        for nth in range(1, MOST_BANDS + 1):
            bands.append(self.keys(read.rest, (*path, str(nth))))
            if nth == MOST_BANDS:
                break
            if not self._has_another((*path, str(nth + 1))):
                break
            start = (*path, str(nth + 1), "from")
            next_start = self._leaf(start, temperature, Prompt())
            if next_start is None:
                break
            starts.append(next_start)
        ends = [*(_below(start, starts[0]) for start in starts[1:]), high]
        return [
            {"from": start, "to": end, **band}
            for start, end, band in zip(starts, ends, bands, strict=True)
        ]

    def _has_another(self, band: tuple[str, ...]) -> bool:
        """Return whether the sheet has another band; not asked if the draft has its start."""
        more_path, start = ".".join((*band, MORE)), self.answers.get(".".join((*band, "from")))
        if more_path not in self.answers and start is not None:
            return True
        self.questions.append(
            SheetQuestion(more_path, self._question_text((*band, MORE)), AnswerForm.CHOICE, YES_NO)
        )
        return self.answers.get(more_path) == "yes"


def _form(read: object) -> tuple[AnswerForm, tuple[str, ...], int]:
    """Return how a reader's values are entered: form, words or units, number of sides."""
    if isinstance(read, OrNull):
        return _form(read.read)
    if isinstance(read, Amount):
        return AnswerForm.AMOUNT, read.units, read.sides
    if isinstance(read, OneOf | SomeOf):
        form = AnswerForm.CHOICE if isinstance(read, OneOf) else AnswerForm.SOME
        return form, tuple(read.choices), 1
    return (AnswerForm.CHOICE, YES_NO, 1) if read is flag else (AnswerForm.TEXT, (), 1)


def _middle(one: str, other: str) -> str | None:
    """Return the whole number halfway between two quantities of one unit, else None."""
    numbers = [re.fullmatch(r"(\d+(?:\.\d+)?) ([FCs])", each) for each in (one, other)]
    if any(each is None for each in numbers) or one[-1] != other[-1]:
        return None
    low, high = (float(each[1]) for each in numbers if each is not None)
    middle = round((low + high) / 2)
    return f"{middle} {one[-1]}" if low <= middle <= high else one


def _below(start: str, first: str) -> str:
    """Return the last whole degree below `start`, in the unit of `first`, or `start` itself."""
    with suppress(WrongAmountError, ValueError):
        unit = temperature_of(first).unit
        return f"{nearest(temperature_of(start).exact_in(unit)) - 1} {unit.value}"
    return start


def _quoted(text: str) -> str:
    """Return a value as YAML on one line, in quotes if it could be read as something else."""
    plain = _PLAIN.fullmatch(text) and text.strip() == text and text[0] not in "-.%"
    return text if plain and text.lower() not in _YAML_WORDS - set(_YES_NO) else _text(text)


def _text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _as_list(text: str) -> str:
    return f"[{', '.join(_quoted(each.strip()) for each in text.split(',') if each.strip())}]"
