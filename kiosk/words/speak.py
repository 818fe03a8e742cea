"""The sentences of one language, read from its gettext catalogue at each start.

There is no compiled file that could go stale. A sentence has an id (`msgid`); if it counts
something, `msgid_plural` names the value. A test checks that gettext reads the same.
"""

import gettext
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import field
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

from kiosk.catalog.base import (
    MM_PER_INCH,
    AsWritten,
    Celsius,
    Degrees,
    Fault,
    FileKey,
    FileValue,
    Inches,
    Message,
    Temperature,
    Value,
    converted,
    dataclass,
    is_plain,
    one_line,
)
from kiosk.words.places import place_in_words, value_in_words

LOCALES = Path(__file__).resolve().parents[2] / "assets" / "locale"
ENGLISH = "en"  # complete: used for sentences that another language lacks

_LINE = re.compile(r'^(msgid|msgid_plural|msgstr(?:\[\d\])?|) ?"(.*)"$', re.M)
_PLURALS = re.compile(r"plural=([^;]+);")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The forms of each sentence by id: one, or one for each plural form of the language."""

    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    counted: Mapping[str, str] = field(default_factory=dict)
    """By id, the name of the value that chooses the plural; absent if there is one form."""
    plural: Callable[[int], int] = lambda count: int(count != 1)
    finished: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """A cache of finished sentences without values: most of those on a screen or report."""

    def form(self, id: str, count: int | None) -> str | None:  # noqa: A002 - as in Message
        """Return the form of sentence `id` for `count` (None: it has one form), None if unknown."""
        forms = self.forms.get(id)
        if not forms:
            return None
        index = 0 if count is None else self.plural(count)
        return forms[index] if index < len(forms) else None


@lru_cache(maxsize=4)
def catalogue(language: str, locales: Path = LOCALES) -> Catalogue:
    """Return the catalogue of `language` (`en`, `es`), empty if there is none."""
    path = locales / f"{language}.po"
    return read(path.read_text("utf-8")) if path.is_file() else Catalogue()


def read(text: str) -> Catalogue:
    """Return the catalogue in a PO file; its first entry, without an id, has the plural rule."""
    forms: dict[str, tuple[str, ...]] = {}
    counted: dict[str, str] = {}
    plural = Catalogue().plural
    id_ = ""
    for key, value in _strings(text):
        if key == "msgid":
            id_ = value
        elif not id_:
            plural = gettext.c2py(rule[1]) if (rule := _PLURALS.search(value)) else plural
        elif key == "msgid_plural":
            counted[id_] = value
        elif value:
            forms[id_] = (*forms.get(id_, ()), value)
    return Catalogue(forms, counted, plural)


def _strings(text: str) -> list[tuple[str, str]]:
    """Return the keyword and text of each string; strings over several lines are joined."""
    strings: list[tuple[str, str]] = []
    for key, part in _LINE.findall(text):
        value = json.loads(f'"{part}"') if "\\" in part else part
        if key:
            strings.append((key, value))
        else:
            strings[-1] = (strings[-1][0], strings[-1][1] + value)
    return strings


# (signal word, caution): WARNING could injure badly, CAUTION could injure.
SET_UP = (
    ("warning", "burn"),
    ("warning", "pinch"),
    ("warning", "alone"),
    ("warning", "shock"),
    ("caution", "fumes"),
)
PAPER = (("warning", "paper"),)
PROBE = (("warning", "probe"),)
TOUCH = (("caution", "touch"),)
UPKEEP = (("warning", "upkeep"),)
FIRST = ("caution.first", "caution.device", "caution.untried")
"""Cautions: what takes precedence over the kiosk, what it senses, and what is untried."""


FINEST = 64  # parts per inch


def fraction(inches: float) -> str:
    """Return inches to the nearest 1/64: `9 1/2`, `1/16`."""
    whole, rest = divmod(round(inches * FINEST), FINEST)
    return " ".join(str(each) for each in (whole, Fraction(rest, FINEST)) if each) or "0"


def millimetres(inches: float) -> str:
    """Return a length in inches as millimetres, under 10 mm to a tenth: `254`, `1.6`."""
    length = inches * MM_PER_INCH
    return f"{length:.1f}".removesuffix(".0") if length < 10 else str(round(length))


BRIEF = ".brief"  # suffix of the id of a shorter sentence for a small screen
COMMA = frozenset({"es"})  # languages that write 2,5
_DECIMAL = re.compile("[-+±\N{MINUS SIGN}]?" r"\d+\.\d+(\s?[^\s\d.]\S*)?")
_DEGREES = re.compile(r"\{(\w+)\} °\{unit\}")
DIFFERENCES = frozenset({"tolerance", "spread", "offset"})
"""Values that are temperature differences: a difference of 4 °C is not 39 °F."""


class Words:
    """The sentences of one language (`en`, `es`).

    Missing sentences and unknown languages fall back to English. If the press does not show
    `degrees`, a temperature is followed by its value on that scale: `300 °F (149 °C)`. The press's
    own comes first, as its display shows it. Differences are given on the press's scale alone.
    Lengths are in millimetres if `metric`, else in inches.
    """

    def __init__(
        self,
        language: str = "en",
        locales: Path = LOCALES,
        degrees: Degrees | None = None,
        metric: bool = False,
    ) -> None:
        self.language = language
        self.degrees = degrees
        self.metric = metric
        self._catalogue = catalogue(language, locales)
        self._english = catalogue(ENGLISH, LOCALES)

    def __call__(self, id: str, /, **values: Value) -> str:  # noqa: A002 - as in Message
        """Return the sentence `id` with `values` filled in."""
        return self.say(Message(id, values))

    def say(self, message: Message) -> str:
        """Return the sentence of `message`.

        A tuple among its values is joined with commas, or with semicolons if a part has a comma.
        Raises KeyError for an id without a sentence, unless the message has `otherwise`; a test
        covers all ids.
        """
        values = message.values
        if not values:
            sentence = self._catalogue.finished.get(message.id)
            if sentence is None:
                sentence = self._template(message).format_map(values)
                if not message.otherwise:  # the fallback text is not the sentence of this id
                    self._catalogue.finished[message.id] = sentence
            return sentence
        template = self._template(message)
        if self.degrees is not None and values.get("unit", "") != self.degrees.value:
            template = _DEGREES.sub(lambda match: self._with_other_scale(match, values), template)
        return template.format_map({k: self._value(v) for k, v in values.items()})

    def knows(self, id: str) -> bool:  # noqa: A002 - as in Message
        """Return whether there is a sentence with that id."""
        return id in self._english.forms

    def brief(self, message: Message) -> str:
        """Return the short sentence of `message` if there is one, else the usual one."""
        short = f"{message.id}{BRIEF}"
        return self.say(Message(short, message.values) if self.knows(short) else message)

    def number(self, digits: str) -> str:
        """Return a number with a decimal point (and perhaps a unit) as this language writes it."""
        return digits.replace(".", ",") if self.language in COMMA else digits

    def _with_other_scale(self, match: re.Match[str], values: Mapping[str, Value]) -> str:
        """Return a temperature with its value on the wanted scale after it."""
        value, unit = str(values.get(match[1])), values.get("unit")
        if match[1] in DIFFERENCES or not value.isdecimal():
            return match[0]
        if self.degrees is None or unit not in ("F", "C"):
            return match[0]
        other = Temperature(Fraction(value), Degrees(unit), "").whole_in(self.degrees)
        return f"{match[0]} ({other} °{self.degrees.value})"

    def _template(self, message: Message) -> str:
        counted = self._english.counted.get(message.id)
        if counted is None and (forms := self._catalogue.forms.get(message.id)):
            return forms[0]
        count = None if counted is None else _count(message.values, counted)
        for each in (self._catalogue, self._english):
            if (form := each.form(message.id, count)) is not None:
                return form
        if message.otherwise:
            return message.otherwise.replace("{", "{{").replace("}", "}}")
        raise KeyError(message.id)

    def _value(self, value: Value) -> str:
        if isinstance(value, AsWritten):
            return value
        if isinstance(value, str):  # "98.5 %", "1.6 mm"
            is_number = self.language in COMMA and _DECIMAL.fullmatch(value)
            return self.number(value) if is_number else value
        if isinstance(value, tuple):
            parts = [self._value(v) for v in value]
            return ("; " if any(", " in part for part in parts) else ", ").join(parts)
        if isinstance(value, Message):  # such as the word for a peel or a panel
            return self.say(value)
        if isinstance(value, Inches):
            return self.length(value.inches, self.metric)
        if isinstance(value, Celsius):
            return self._temperature(value.degrees)
        if isinstance(value, FileKey):
            return place_in_words(self, value)
        if isinstance(value, FileValue):
            return value_in_words(self, tuple(value.key.split(".")), value.value)
        if isinstance(value, float):
            return self.number(f"{value:g}")
        return "" if value is None else str(value)

    def _temperature(self, celsius: float) -> str:
        """Return a temperature on the wanted scale, °C by default."""
        scale = self.degrees or Degrees.C
        return f"{converted(celsius, Degrees.C, scale):.0f} °{scale.value}"

    def length(self, inches: float, metric: bool) -> str:
        """Return a length with its unit, in millimetres if `metric`, else in inches."""
        if metric:
            return self("work.millimetres", length=millimetres(inches))
        return self("work.inches", length=fraction(inches))

    def height(self, inches: float, metric: bool) -> str:
        """Return the height of a piece; inches that are not in 64ths (0.8) stay decimal."""
        if metric or (inches * FINEST).is_integer():
            return self.length(inches, metric)
        return self("work.inches", length=f"{inches:g}")


def _count(values: Mapping[str, Value], name: str) -> int:
    value = values[name]
    return value if isinstance(value, int) else 1


def fault_text(fault: Fault, words: Words) -> str:
    """Return `file:line: key: what is wrong; found ...; allowed: ...; did you mean ...?`.

    A question also has what it was read as and could be. Parts that the fault lacks are left
    out. The text has no control characters.
    """
    place = f"{fault.file}:{fault.line}" if fault.line else fault.file
    problem = words.say(fault.problem)
    if fault.question:
        problem = words("catalog.fault.question", problem=problem)
    parts = [problem]
    if fault.found:
        parts.append(words("catalog.fault.found", found=f'"{fault.found}"'))
    parts += _reading(fault, words)
    if fault.allowed:
        parts.append(words("catalog.fault.allowed", allowed=fault.allowed))
    if fault.nearest:
        parts.append(words("catalog.fault.nearest", nearest=f'"{fault.nearest}"'))
    text = ": ".join(part for part in (place, fault.key, "; ".join(parts)) if part)
    return "".join(c if is_plain(c) else "?" for c in text)


def _reading(fault: Fault, words: Words) -> list[str]:
    """Return what a doubtful cell was read as and could be, if that differs from its text."""
    doubt = fault.doubt
    if doubt is None:
        return []
    parts = []
    if doubt.read_as not in {"", doubt.written}:
        parts.append(words("catalog.fault.read_as", read_as=f'"{one_line(doubt.read_as)}"'))
    if doubt.could_be and doubt.could_be != (fault.nearest,):
        others = ", ".join(f'"{one_line(each)}"' for each in doubt.could_be)
        parts.append(words("catalog.fault.could_be", could_be=others))
    return parts
