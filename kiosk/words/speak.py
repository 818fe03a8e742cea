"""The sentences of one language, read from its gettext catalogue at each start, and said.

There is no compiled file that could go stale. A sentence is known by its id (`msgid`); where
something is counted, `msgid_plural` names the value. A test holds that gettext reads the same.
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
    shown,
)
from kiosk.words.places import place_said, value_said

LOCALES = Path(__file__).resolve().parents[2] / "assets" / "locale"
ENGLISH = "en"  # complete: what another language lacks is in English

_LINE = re.compile(r'^(msgid|msgid_plural|msgstr(?:\[\d\])?|) ?"(.*)"$', re.M)
_PLURALS = re.compile(r"plural=([^;]+);")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Forms of each sentence by its id: one, or one for each plural of the language."""

    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    counted: Mapping[str, str] = field(default_factory=dict)
    """By id, the name of the value that chooses the plural; absent where there is one form."""
    plural: Callable[[int], int] = lambda count: int(count != 1)
    said: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    """Sentences without a value, as they are said: most of what a screen or a report says."""

    def form(self, id: str, count: int | None) -> str | None:  # noqa: A002 - as in Message
        """Return the sentence `id` for `count` things (None: it has one form); None if unknown."""
        forms = self.forms.get(id)
        if not forms:
            return None
        index = 0 if count is None else self.plural(count)
        return forms[index] if index < len(forms) else None


@lru_cache(maxsize=4)
def catalogue(language: str, locales: Path = LOCALES) -> Catalogue:
    """Return the catalogue of `language` (`en`, `es`), an empty one where there is none."""
    path = locales / f"{language}.po"
    return read(path.read_text("utf-8")) if path.is_file() else Catalogue()


def read(text: str) -> Catalogue:
    """Return what a PO file holds; its first entry, without an id, names the plurals."""
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
    """Return keyword and text of each string; one that goes on over more lines is joined."""
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
"""What comes before this program, what it senses, and what has not been tried."""


FINEST = 64  # parts of an inch


def fraction(inches: float) -> str:
    """Return inches to the nearest 1/64: `9 1/2`, `1/16`."""
    whole, rest = divmod(round(inches * FINEST), FINEST)
    return " ".join(str(each) for each in (whole, Fraction(rest, FINEST)) if each) or "0"


def millimetres(inches: float) -> str:
    """Return the millimetres of a length in inches, short ones to a tenth: `254`, `1.6`."""
    length = inches * MM_PER_INCH
    return f"{length:.1f}".removesuffix(".0") if length < 10 else str(round(length))


BRIEF = ".brief"  # after the id of a line: the same in fewer words, for a small screen
COMMA = frozenset({"es"})  # languages that write 2,5
_DECIMAL = re.compile("[-+±\N{MINUS SIGN}]?" r"\d+\.\d+(\s?[^\s\d.]\S*)?")
_DEGREES = re.compile(r"\{(\w+)\} °\{unit\}")
DIFFERENCES = frozenset({"tolerance", "spread", "offset"})
"""Values that say how far apart two temperatures are: 4 °C of difference are not 39 °F."""


class Words:
    """The sentences of one language (`en`, `es`).

    What a language does not say, and unknown languages, fall back to English. With `degrees`
    a temperature on the press's other scale has that one after it: `300 °F (149 °C)`. The
    press's own stays: it is what its display shows, and what is read from it. How far off it may
    be is told on the press's own scale alone. Lengths are said in millimetres where `metric`,
    else in inches.
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
        self._english = catalogue(ENGLISH, LOCALES)  # the same once, where it is the language

    def __call__(self, id: str, /, **values: Value) -> str:  # noqa: A002 - as in Message
        """Return the sentence `id` with `values` put in."""
        return self.say(Message(id, values))

    def say(self, message: Message) -> str:
        """Return the sentence of `message`; a tuple among its values is joined with commas,
        with semicolons where a part of it has a comma of its own.

        Raises KeyError for an id without a sentence, unless the message says what to say then: a
        test walks all of them.
        """
        values = message.values
        if not values:
            known = self._catalogue.said.get(message.id)
            if known is None:
                known = self._template(message).format_map(values)
                if not message.otherwise:  # that is no sentence of this id
                    self._catalogue.said[message.id] = known
            return known
        template = self._template(message)
        if self.degrees is not None and values.get("unit", "") != self.degrees.value:
            template = _DEGREES.sub(lambda found: self._both(found, values), template)
        return template.format_map({k: self._value(v) for k, v in values.items()})

    def knows(self, id: str) -> bool:  # noqa: A002 - as in Message
        """Return whether there is a sentence of that id."""
        return id in self._english.forms

    def brief(self, message: Message) -> str:
        """Return the sentence of `message` in fewer words, where there are such."""
        short = f"{message.id}{BRIEF}"
        return self.say(Message(short, message.values) if self.knows(short) else message)

    def number(self, digits: str) -> str:
        """Return a number written with a point (and its unit) as this language writes it."""
        return digits.replace(".", ",") if self.language in COMMA else digits

    def _both(self, found: re.Match[str], values: Mapping[str, Value]) -> str:
        """A temperature with the same on the scale that is wanted after it."""
        value, unit = str(values.get(found[1])), values.get("unit")
        if found[1] in DIFFERENCES or not value.isdecimal():
            return found[0]
        if self.degrees is None or unit not in ("F", "C"):
            return found[0]
        other = Temperature(Fraction(value), Degrees(unit), "").whole_in(self.degrees)
        return f"{found[0]} ({other} °{self.degrees.value})"

    def _template(self, message: Message) -> str:
        by = self._english.counted.get(message.id)
        if by is None and (forms := self._catalogue.forms.get(message.id)):
            return forms[0]
        count = None if by is None else _count(message.values, by)
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
        if isinstance(value, Message):  # a word of its own: the peel's, a panel's
            return self.say(value)
        if isinstance(value, Inches):
            return self.length(value.inches, self.metric)
        if isinstance(value, Celsius):
            return self._temperature(value.degrees)
        if isinstance(value, FileKey):
            return place_said(self, value)
        if isinstance(value, FileValue):
            return value_said(self, tuple(value.key.split(".")), value.value)
        if isinstance(value, float):
            return self.number(f"{value:g}")
        return "" if value is None else str(value)

    def _temperature(self, celsius: float) -> str:
        """On the wanted scale, °C where none is."""
        scale = self.degrees or Degrees.C
        return f"{converted(celsius, Degrees.C, scale):.0f} °{scale.value}"

    def length(self, inches: float, metric: bool) -> str:
        """Return a length in millimetres where `metric`, else in inches, with its unit."""
        if metric:
            return self("work.millimetres", length=millimetres(inches))
        return self("work.inches", length=fraction(inches))

    def height(self, inches: float, metric: bool) -> str:
        """Return the height of a piece: one that no ruler has (0.8 in) as it is written."""
        if metric or (inches * FINEST).is_integer():
            return self.length(inches, metric)
        return self("work.inches", length=f"{inches:g}")


def _count(values: Mapping[str, Value], by: str) -> int:
    value = values[by]
    return value if isinstance(value, int) else 1


def fault_text(fault: Fault, words: Words) -> str:
    """Return `file:line: key: what is wrong; found ...; allowed: ...; did you mean ...?`.

    A question says too what was read, and what it could be.

    What the fault does not say is left out. The text has no control characters.
    """
    place = f"{fault.file}:{fault.line}" if fault.line else fault.file
    problem = words.say(fault.problem)
    if fault.question:
        problem = words("catalog.fault.question", problem=problem)
    said = [problem]
    if fault.found:
        said.append(words("catalog.fault.found", found=f'"{fault.found}"'))
    said += _reading(fault, words)
    if fault.allowed:
        said.append(words("catalog.fault.allowed", allowed=fault.allowed))
    if fault.nearest:
        said.append(words("catalog.fault.nearest", nearest=f'"{fault.nearest}"'))
    text = ": ".join(part for part in (place, fault.key, "; ".join(said)) if part)
    return "".join(c if is_plain(c) else "?" for c in text)


def _reading(fault: Fault, words: Words) -> list[str]:
    """Return what a doubtful cell was read as and could be, where that says more than it."""
    doubt = fault.doubt
    if doubt is None:
        return []
    said = []
    if doubt.read_as not in {"", doubt.written}:
        said.append(words("catalog.fault.read_as", read_as=f'"{shown(doubt.read_as)}"'))
    if doubt.could_be and doubt.could_be != (fault.nearest,):
        others = ", ".join(f'"{shown(each)}"' for each in doubt.could_be)
        said.append(words("catalog.fault.could_be", could_be=others))
    return said
