"""Checks one cell of a roster. What is doubtful becomes a question, never a guess."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from kiosk.catalog.base.message import Message, say
from kiosk.catalog.base.notes import Notes, is_plain, nearest_word
from kiosk.catalog.model.orders import BY_CODE, size_named
from kiosk.catalog.roster.look_alikes import alphabet, in_one_alphabet, mixed, plain_form
from kiosk.catalog.roster.tables import Slip, text_slip

MOST_LETTERS = 16  # of a name on a back
MOST_DIGITS = 2
MOST_LINE_ID = 20
WORN = frozenset({"size", "name", "number"})  # a line id may well be a date
NAME_MARKS = frozenset(" '’.·-‐‑")


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell with its place; `text` has no blanks around it."""

    notes: Notes
    line: int
    column: str
    text: str
    slip: Slip | None = None

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
        """Note a question that a person must decide."""
        self.notes.add(
            problem, line=self.line, key=self.column, found=self.text, allowed=allowed,
            nearest=nearest, question=True, could_be=could_be,
        )  # fmt: skip

    def usable(self) -> bool:
        """Note control characters and formulas; tell whether the text may be looked at."""
        if not all(map(is_plain, self.text)):
            self.wrong(say("catalog.roster.control"))
            return False
        if self.text[:1] in {"=", "@"} or re.match(r"[+-](?![0-9.,]*$)", self.text):
            self.wrong(say("catalog.roster.formula"))
            return False
        return True

    def slipped(self) -> bool:
        """Ask about what a spreadsheet made of the cell, an apostrophe in front included."""
        slip = self.slip or (text_slip(self.text) if self.column in WORN else None)
        if slip is None:
            return self._marked()
        self.notes.add(
            slip.cause, line=self.line, key=self.column, found=slip.written or self.text,
            read_as=self.text, could_be=slip.could_be, question=True,
        )  # fmt: skip
        return True

    def _marked(self) -> bool:
        """Spreadsheets mark text with an apostrophe in front, names hardly begin with one."""
        if not self.text.startswith("'") or len(self.text) < 2:
            return False
        self.ask(say("catalog.roster.apostrophe"), nearest=self.text[1:])
        return True


def line_id(cell: Cell) -> str:
    """Return the line's id as text."""
    if cell.usable() and not cell.slipped() and len(cell.text) > MOST_LINE_ID:
        cell.wrong(say("catalog.roster.long_line", most=MOST_LINE_ID))
    return cell.text


def size(cell: Cell) -> str:
    """Return the size's code, or the text itself where it must be asked for."""
    if not cell.usable() or cell.slipped():
        return cell.text
    if not cell.text:
        cell.ask(say("catalog.roster.no_size"), allowed=", ".join(BY_CODE))
        return cell.text
    found = size_named(cell.text)
    if found is None:
        cell.ask(
            say("catalog.roster.size"),
            allowed=", ".join(BY_CODE),
            nearest=nearest_word(plain_form(cell.text)[:12], BY_CODE, 0.5),
        )
        return cell.text
    return found.code


def number(cell: Cell, wanted: bool) -> str:
    """Return the number's text as written; `07` is not `7`."""
    if not cell.usable() or cell.slipped():
        return cell.text
    if not cell.text:
        if wanted:
            cell.ask(say("catalog.roster.no_number"))
    elif re.fullmatch(r"[0-9]+[.,][0-9]+", cell.text):
        whole = re.split("[.,]", cell.text)[0]
        cell.ask(say("catalog.roster.decimals"), nearest=whole)
    elif not re.fullmatch(r"[0-9]+", cell.text):
        digits = [str(unicodedata.digit(c, "")) for c in cell.text]
        cell.ask(say("catalog.roster.no_digits"), nearest="".join(digits) if all(digits) else "")
    elif len(cell.text) > MOST_DIGITS:
        cell.ask(say("catalog.roster.many_digits", most=MOST_DIGITS))
    return cell.text


def name(cell: Cell, wanted: bool) -> str:
    """Return the name, composed (NFC), inner blanks single; empty where there is none."""
    if not cell.usable():
        return cell.text
    text = " ".join(unicodedata.normalize("NFC", cell.text).split())
    if cell.slipped():
        return text
    if not text and wanted:
        cell.ask(say("catalog.roster.no_name"))
    elif _is_garbled(text):
        cell.ask(say("catalog.roster.garbled"))
    elif text and not _is_spelled(text):
        cell.ask(say("catalog.roster.letters"))
    elif plain_form(text) != text:
        others = tuple(dict.fromkeys(c for c in text if plain_form(c) != c))
        cause = say("catalog.roster.full_width", letters=others)
        cell.ask(cause, could_be=(" ".join(plain_form(text).split()),))
    elif mixed(text):
        named = tuple(f"{c} ({alphabet(c).title()})" for c in mixed(text))
        cell.ask(say("catalog.roster.mixed", letters=named), could_be=in_one_alphabet(text))
    elif len(text) > MOST_LETTERS:
        cell.ask(say("catalog.roster.long_name", most=MOST_LETTERS))
    return text


def garment_set(cell: Cell) -> str:
    """Return the set's name, inner blanks single: home, away, or empty for none."""
    if cell.usable() and not cell.slipped() and len(cell.text) > MOST_LINE_ID:
        cell.wrong(say("catalog.roster.long_line", most=MOST_LINE_ID))
    return " ".join(cell.text.split())


def _is_spelled(text: str) -> bool:
    letters = [c for c in text if c not in NAME_MARKS]
    return bool(letters) and all(unicodedata.category(c)[0] in "LM" for c in letters)


def _is_garbled(text: str) -> bool:
    """Tell whether UTF-8 was once taken for cp1252: `Ã‘` where Ñ was meant."""
    try:
        return text.encode("cp1252").decode("utf-8") != text
    except UnicodeError:
        return False
