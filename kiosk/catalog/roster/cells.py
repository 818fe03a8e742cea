"""Check one cell and ask about doubts, such as letters that only look like others."""

import re
import unicodedata
from collections import Counter

from kiosk.catalog.base import Fault, Message, Notes, dataclass, say
from kiosk.catalog.model.orders import BY_CODE, size_named
from kiosk.catalog.roster.suggestions import (
    cleaned_name,
    counted_size,
    digits_of,
    has_hidden,
    is_spelled,
    nearest_size,
    plain_form,
    printable,
    sizes_within,
    surname_first,
    ungarbled,
)
from kiosk.catalog.roster.tables import CellSlip, text_slip

# Letters that look alike, by their shapes, from memory.
_ALIKE = {
    "LATIN": "ABCEHIJKMNOPSTXYZaceijopsxy",
    "CYRILLIC": "АВСЕНІЈКМ ОРЅТХУ асеіјорѕху",
    "GREEK": "ΑΒϹΕΗΙͿΚΜΝΟΡ ΤΧΥΖ    ϳο    ",
}
_ONE_SCRIPT = {"HIRAGANA": "CJK", "KATAKANA": "CJK"}  # Japanese mixes all three


def alphabets(text: str) -> Counter[str]:
    """Return the number of a text's letters by alphabet: `LATIN`, `CYRILLIC`."""
    return Counter(alphabet(c) for c in text if unicodedata.category(c) in {"Lu", "Ll", "Lt", "Lo"})


def alphabet(letter: str) -> str:
    """Return the alphabet of a letter, the first word of its name in Unicode."""
    script = unicodedata.name(letter, "UNNAMED").split()[0]
    return _ONE_SCRIPT.get(script, script)


def foreign_letters(text: str) -> tuple[str, ...]:
    """Return the letters outside the alphabet of most of the text's letters."""
    counts = alphabets(text)
    if len(counts) < 2:
        return ()
    usual = counts.most_common(1)[0][0]
    letters = (c for c in text if alphabets(c) and alphabet(c) != usual)
    return tuple(dict.fromkeys(letters))


def in_one_alphabet(text: str) -> tuple[str, ...]:
    """Return a mixed text rewritten in a single alphabet with look-alikes, most likely first."""
    order = [script for script, _ in alphabets(text).most_common() if script in _ALIKE]
    found = (_rewritten(text, script) for script in order)
    return tuple(dict.fromkeys(each for each in found if each and each != text))


def _rewritten(text: str, script: str) -> str:
    """Return a text in one alphabet by look-alikes; empty if a letter has none."""
    letters = []
    for character in text:
        if not alphabets(character) or alphabet(character) == script:
            letters.append(character)
            continue
        own = _ALIKE.get(alphabet(character), "")
        other = _ALIKE[script][own.index(character)] if character in own else " "
        if other == " ":
            return ""
        letters.append(other)
    return "".join(letters)


MOST_LETTERS = 16  # of a name on a back
MOST_DIGITS = 2
MOST_LINE_ID = 20
WORN = frozenset({"size", "name", "number"})  # a line id may well be a date


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell with its place; `text` is stripped."""

    notes: Notes
    line: int
    column: str
    text: str
    slip: CellSlip | None = None

    def wrong(self, problem: Message) -> None:
        """Note that the cell cannot be used."""
        self.notes.add(problem, line=self.line, key=self.column, found=self.text)

    def ask(
        self,
        problem: Message,
        *,
        allowed: str = "",
        nearest: str = "",
        could_be: tuple[str, ...] = (),
    ) -> None:
        """Note a question for a person to decide."""
        self.notes.add(
            problem, line=self.line, key=self.column, found=self.text, allowed=allowed,
            nearest=nearest, question=True, could_be=could_be,
        )  # fmt: skip

    def usable(self) -> bool:
        """Note control characters and formulas; return whether the text has neither."""
        if has_hidden(self.text):
            visible = printable(self.text)
            name = (
                cleaned_name(visible) if self.column == "name" and not is_spelled(visible) else ""
            )
            self.notes.add(
                say("catalog.roster.control"),
                line=self.line, key=self.column, found=self.text, nearest=name or visible,
            )  # fmt: skip
            return False
        if self.text[:1] in {"=", "@"} or re.match(r"[+-](?!\s|[0-9.,]*$)(?=.*\w)", self.text):
            self.wrong(say("catalog.roster.formula"))
            return False
        return True

    def ask_slip(self) -> bool:
        """Ask if a spreadsheet changed the cell or put an apostrophe before it; return if so."""
        slip = self.slip or (text_slip(self.text) if self.column in WORN else None)
        if slip is None:
            return self._ask_apostrophe()
        self.notes.add(
            slip.cause, line=self.line, key=self.column, found=slip.written or self.text,
            read_as=self.text, could_be=slip.could_be, question=True,
        )  # fmt: skip
        return True

    def _ask_apostrophe(self) -> bool:
        """Ask about a leading apostrophe, by which spreadsheets mark text; return if there is."""
        if not self.text.startswith("'") or len(self.text) < 2:
            return False
        self.ask(say("catalog.roster.apostrophe"), nearest=self.text[1:].removesuffix("'"))
        return True


def line_id(cell: Cell) -> str:
    """Return the line's id as text; a word without a figure may be a player's name."""
    if not cell.usable() or cell.ask_slip():
        return cell.text
    if len(cell.text) > MOST_LINE_ID:
        cell.wrong(say("catalog.roster.long_line", most=MOST_LINE_ID))
    elif _A_WORD.search(cell.text) and not re.search(r"\d", cell.text):
        cell.ask(say("catalog.roster.line_name"))
    return cell.text


_A_WORD = re.compile(r"([^\W\d_])(?!\1)[^\W\d_]{2}|([^\W\d_])\2(?!\2)[^\W\d_]", re.IGNORECASE)
"""Three letters that are not all the same."""


def size(cell: Cell) -> str:
    """Return the size's code, or the text itself if there is a question about it."""
    if not cell.usable() or cell.ask_slip():
        return cell.text
    if not cell.text:
        cell.ask(say("catalog.roster.no_size"), allowed=", ".join(BY_CODE))
        return cell.text
    found = size_named(cell.text)
    if found is None:
        cell.ask(
            say("catalog.roster.size"),
            allowed=", ".join(BY_CODE),
            nearest=nearest_size(cell.text),
            could_be=sizes_within(counted_size(cell.text)[0] or cell.text),
        )
        return cell.text
    return found.code


def number(cell: Cell, needed: bool) -> str:
    """Return the number's text as written; `07` is not `7`."""
    if not cell.usable() or cell.ask_slip():
        return cell.text
    if not cell.text:
        if needed:
            cell.ask(say("catalog.roster.no_number"))
    elif is_stand_in(cell.text):
        cell.ask(say("catalog.roster.none_yet"), could_be=("",))
    elif re.fullmatch(_DECIMALS, cell.text):
        cell.ask(say("catalog.roster.decimals"), nearest=_whole(cell.text))
    elif not re.fullmatch(r"[0-9]+", cell.text):
        cell.ask(say("catalog.roster.no_digits"), nearest=digits_of(cell.text))
    elif len(cell.text) > MOST_DIGITS:
        cell.ask(say("catalog.roster.many_digits", most=MOST_DIGITS))
    return cell.text


_DECIMALS = re.compile(r"[0-9]+[.,][0-9]+|[0-9](?:[.,][0-9]+)?E[+]?[0-9]{1,2}", re.IGNORECASE)


def _whole(text: str) -> str:
    """Return the number in a text with decimals or an exponent; "" if not whole or too long."""
    value = float(text.replace(",", "."))
    return str(int(value)) if value == int(value) and value < 10**MOST_DIGITS else ""


STAND_INS = frozenset({
    *("TBA", "TBC", "TBD", "NA", "NIL", "NONE", "NULL", "BLANK", "EMPTY", "PENDING", "UNKNOWN"),
    *("SPARE", "SPARES", "EXTRA", "REPUESTO", "RESERVA", "DE REPUESTO"),
    *("NAME", "NO NAME", "NONAME", "NO NUMBER", "X", "XX", "XXX"),
    *("(BLANK)", "N/A", "N.A."),
    *("NOMBRE", "SIN NOMBRE", "NINGUNO", "PENDIENTE", "POR DEFINIR", "POR CONFIRMAR", "VACÍO"),
    *("SIN NÚMERO", "SIN NUMERO"),
})  # fmt: skip
"""Texts that mean "no name or number" or "none yet": common practice, no source."""


def is_stand_in(text: str) -> bool:
    """Return whether a text means "none" or "none yet": TBD, -, ?."""
    return text.upper() in STAND_INS or (text != "" and not any(map(str.isalnum, plain_form(text))))


def name(cell: Cell, needed: bool) -> str:
    """Return the name, composed (NFC), inner blanks single; empty if there is none."""
    if not cell.usable():
        return cell.text
    text = " ".join(unicodedata.normalize("NFC", cell.text).split())
    if cell.ask_slip():
        return text
    if not text and needed:
        cell.ask(say("catalog.roster.no_name"))
    elif is_stand_in(text):
        cell.ask(say("catalog.roster.stand_in"), could_be=("",))
    elif ungarbled(text) != text:
        cell.ask(say("catalog.roster.garbled"), could_be=(ungarbled(text),))
    elif text and not is_spelled(text) and not is_spelled(plain_form(text)):
        readings = surname_first(text)
        id_ = "catalog.roster.two_names" if readings else "catalog.roster.letters"
        cell.ask(say(id_), nearest=cleaned_name(text), could_be=readings)
    elif plain_form(text) != text:
        others = tuple(dict.fromkeys(c for c in text if plain_form(c) != c))
        cause = say("catalog.roster.full_width", letters=others)
        cell.ask(cause, could_be=(" ".join(plain_form(text).split()),))
    elif foreign_letters(text):
        foreign = tuple(f"{c} ({alphabet(c).title()})" for c in foreign_letters(text))
        cell.ask(say("catalog.roster.mixed", letters=foreign), could_be=in_one_alphabet(text))
    elif len(text) > MOST_LETTERS:
        cell.ask(say("catalog.roster.long_name", most=MOST_LETTERS))
    return text


def garment_set(cell: Cell) -> str:
    """Return the set's name, inner blanks single: home, away, or empty for none."""
    if cell.usable() and not cell.ask_slip() and len(cell.text) > MOST_LINE_ID:
        cell.wrong(say("catalog.roster.long_line", most=MOST_LINE_ID))
    return " ".join(cell.text.split())


RECORDED = frozenset({"line", "size", "number"})
"""Columns that a record keeps as written; names are in the job's folder only."""
_LETTERS = re.compile(r"[^\W\d_]{2,}")


def stops_job(fault: Fault) -> bool:
    """Return whether no PIN passes a question; a supervisor may say that a word is a size."""
    return fault.key != "size" and may_record_name(fault)


def may_record_name(fault: Fault) -> bool:
    """Return whether an open question is about a word that may be a name, and would be recorded.

    A letter beside a number (7A) is no name, nor is a size, nor a word for "none yet".
    """
    if not fault.question or fault.key not in RECORDED or is_stand_in(fault.found):
        return False
    is_size = fault.key == "size" and size_named(fault.found) is not None
    return not is_size and _LETTERS.search(fault.found) is not None
