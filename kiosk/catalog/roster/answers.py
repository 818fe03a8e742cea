"""Answers about a roster: the file they are kept in, and which answers are allowed."""

import re
from collections.abc import Mapping
from pathlib import Path

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import OWNERS_ALONE, read_text, write_whole
from kiosk.catalog.base.notes import Fault, Notes, is_plain, say
from kiosk.catalog.base.spots import Spot, root
from kiosk.catalog.base.tree import compose
from kiosk.catalog.model.orders import BY_CODE, size_named

ANSWERS = "answers.yaml"
KEEP, LEAVE_OUT = "keep", "leave-out"
QUOTED = frozenset("'\"|>")
CHOICE = re.compile(r"choice-([1-9][0-9]?)")
LONGEST_ANSWER = 80
CELLS = frozenset({"line", "size", "name", "number", "set"})
HEAD = "# Answers to what was asked about this order. A row that changes is asked about again.\n"


@dataclass(frozen=True, slots=True)
class Answer:
    """A decision (`keep`, `leave-out`, `choice-2`), or a `text` that replaces the cell's."""

    decision: str = ""
    text: str = ""


Answers = Mapping[str, Answer]
NO_ANSWERS: Answers = {}


def read_answers(path: Path, notes: Notes) -> dict[str, Answer]:
    """Return the answers in a YAML file by question id; invalid answers are noted.

    A question without an answer is left out. Raises Unsound, its fault noted, if it is not such
    a file.
    """
    text = read_text(path, notes)
    if not any(line.strip() and not line.lstrip().startswith("#") for line in text.splitlines()):
        return {}
    entries = root(compose(text, notes), notes).entries()
    found = {name: _answer(spot) for name, spot in entries.items() if not spot.is_null}
    return {name: answer for name, answer in found.items() if answer is not None}


def _answer(spot: Spot) -> Answer | None:
    """Return an unquoted decision as one, any other answer as a text; None, noted, if faulty."""
    node = spot.node
    if not isinstance(node, yaml.ScalarNode):
        spot.wrong(say("catalog.answer.form"), allowed=f"{KEEP}, {LEAVE_OUT}, TEXT")
        return None
    text = str(node.value).strip()
    if node.style not in QUOTED and (text in {KEEP, LEAVE_OUT} or CHOICE.fullmatch(text)):
        return Answer(decision=text)
    if len(text) > LONGEST_ANSWER or not is_plain(text):
        spot.notes.add(say("catalog.answer.text", most=LONGEST_ANSWER), line=spot.line)
        return None
    return Answer(text=text)


def write_answers(path: Path, answers: Answers) -> None:
    """Write the answers, whole and for the owner alone, as they hold names. Raises OSError."""
    lines = (f"{_quoted(name)}: {answer_text(each)}\n" for name, each in answers.items())
    write_whole(path, (HEAD + "".join(lines)).encode(), OWNERS_ALONE)


def answer_text(answer: Answer) -> str:
    """Return an answer as written in the file."""
    return answer.decision or _quoted(answer.text)


def _quoted(text: str) -> str:
    dumped: str = yaml.safe_dump(text, default_style='"', allow_unicode=True, width=100_000)
    return dumped.strip()


@dataclass(frozen=True, slots=True)
class Allowed:
    """The allowed answers: keep as read, `choices`, leave the row out, or a text of one's own.

    `writes` is the field for which a text is allowed, empty for none.
    """

    keep: bool
    choices: tuple[str, ...] = ()
    leave_out: bool = False
    writes: str = ""

    @property
    def any(self) -> bool:
        """True if any answer is allowed; otherwise the file itself must be corrected."""
        return self.keep or self.leave_out or bool(self.choices) or bool(self.writes)


NO_TEXT = frozenset({"no_value", "error_value", "merged", "none_yet"})
NO_NUMBER = frozenset({"date", "time", "truth"})
WHOLE_FILE = frozenset({"sheets", "side_by_side", "code_page"})  # decided before any row is read
NO_GARMENT = frozenset({"total", "counts", "bare_rows", "heading_again", "lone"})
QUANTITY, REMARKS = "quantity", "remarks"
EACH = "each"  # the answer "ask about each row"
OF_ROW = NO_GARMENT | {"more_cells", "row_twice", QUANTITY}  # about a row, not a pressed cell
# Found in the sheet again even after they were left out.
HIDDEN = frozenset({"hidden_rows", "hidden_column", "struck_rows"})
LEAVES_OUT = HIDDEN | OF_ROW
HEADING = "unknown_column"
OF_COLUMNS = frozenset({"no_column", "doubled", "no_header"})  # solved by answers about headings
NO_ANSWER = Allowed(keep=False)


def allowed(fault: Fault) -> Allowed:
    """Return the answers allowed for a question, or for a fault in a cell."""
    cause, doubt = fault.cause, fault.doubt
    others = () if doubt is None else tuple(e for e in doubt.could_be if e != doubt.read_as)
    if cause in OF_COLUMNS:
        return NO_ANSWER
    if fault.key in CELLS and fault.line:
        near = (fault.nearest,) if fault.nearest else ()
        choices = near if doubt is None else doubt.could_be
        if fault.key == "size":
            choices = tuple(dict.fromkeys(each.code for c in choices if (each := size_named(c))))
        if fault.key == "number" and cause in NO_NUMBER:
            choices = tuple(c for c in choices if c.isdecimal())
        keep = fault.question and _can_stay(fault, cause) and fault_read_as(fault) not in choices
        return Allowed(keep, choices, leave_out=True, writes=fault.key)
    if not fault.question:
        return NO_ANSWER
    if cause == HEADING:
        return Allowed(keep=False, choices=(*sorted(CELLS), "quantity"), leave_out=True)
    if cause == QUANTITY:
        counts = doubt.could_be if doubt else ()
        return Allowed(keep=True, choices=counts, leave_out=True, writes=QUANTITY)
    choices = others if cause in WHOLE_FILE else (EACH,) if cause == REMARKS else ()
    return Allowed(keep=True, choices=choices, leave_out=cause in LEAVES_OUT)


def of_whole_file(name: str) -> bool:
    """Return whether a question id asks which sheet, list or letters are meant."""
    return not WHOLE_FILE.isdisjoint(name.split(".")[2:3])


def fault_read_as(fault: Fault) -> str:
    """Return what the job holds for the cell in question, empty for none."""
    return "" if fault.doubt is None else fault.doubt.read_as


def _can_stay(fault: Fault, cause: str) -> bool:
    """Return whether the value can stay: a known size, or a number that is not a date."""
    if cause in NO_TEXT or (fault.key == "number" and cause in NO_NUMBER):
        return False
    return fault.key != "size" or fault_read_as(fault) in BY_CODE


def resolve(answer: Answer, options: Allowed) -> Answer | None:
    """Return an answer as saved, a choice as its text; None if it is not allowed."""
    choice = CHOICE.fullmatch(answer.decision)
    if choice is not None:
        nth = int(choice[1])
        return Answer(text=options.choices[nth - 1]) if nth <= len(options.choices) else None
    if answer.decision:
        return answer if (options.keep if answer.decision == KEEP else options.leave_out) else None
    return answer if options.writes or answer.text in options.choices else None
