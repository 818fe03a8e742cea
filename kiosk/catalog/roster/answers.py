"""What people answered about a roster: read, written, and put in place of what was asked about."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field, replace
from pathlib import Path

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import OWNERS_ALONE, read_text, write_whole
from kiosk.catalog.base.notes import Fault, Notes, is_plain, question_id, row_digest, say
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
    """A decision (`keep`, `leave-out`, `choice-2`), or a `text` to stand in place of the cell's."""

    decision: str = ""
    text: str = ""


Answers = Mapping[str, Answer]
NO_ANSWERS: Answers = {}


def read_answers(path: Path, notes: Notes) -> dict[str, Answer]:
    """Return the answers in a YAML file by question; what is no answer is noted.

    A question without an answer is left out. Raises Unsound, its fault noted, for what is no
    such file.
    """
    text = read_text(path, notes)
    if not any(line.strip() and not line.lstrip().startswith("#") for line in text.splitlines()):
        return {}
    entries = root(compose(text, notes), notes).entries()
    found = {name: _answer(spot) for name, spot in entries.items() if not spot.is_null}
    return {name: answer for name, answer in found.items() if answer is not None}


def _answer(spot: Spot) -> Answer | None:
    """A plain word of decision, or any text: one that is such a word is quoted."""
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
    """Write answers whole, for the owner alone: there are names in them. Raises OSError."""
    lines = (f"{_quoted(name)}: {answer_text(each)}\n" for name, each in answers.items())
    write_whole(path, (HEAD + "".join(lines)).encode(), OWNERS_ALONE)


def answer_text(answer: Answer) -> str:
    """Return an answer as the file has it."""
    return answer.decision or _quoted(answer.text)


def _quoted(text: str) -> str:
    made: str = yaml.safe_dump(text, default_style='"', allow_unicode=True, width=100_000)
    return made.strip()


@dataclass(frozen=True, slots=True)
class Edits:
    """What answers put in place: texts by row and field, and rows left out.

    `meant` is the sheet to be read, or the letters of a file that can be read in several ways;
    `garments` are rows that look like none, and are.
    """

    cells: Mapping[tuple[int, str], str] = field(default_factory=dict)
    rows: frozenset[int] = frozenset()
    unused: frozenset[str] = frozenset()
    meant: str = ""
    garments: frozenset[int] = frozenset()


NO_EDITS = Edits()


@dataclass(frozen=True, slots=True)
class Allowed:
    """What may be answered: as it is read, `choices`, the row left out, or a text of one's own.

    `writes` is the field whose text may be written, empty for none.
    """

    keep: bool
    choices: tuple[str, ...] = ()
    leave_out: bool = False
    writes: str = ""

    @property
    def any(self) -> bool:
        """Whether there is an answer at all: otherwise the file has to be another."""
        return self.keep or self.leave_out or bool(self.choices) or bool(self.writes)


NO_TEXT = frozenset({"no_value", "error_value", "merged"})
NO_NUMBER = frozenset({"date", "time", "truth"})
WHOLE_FILE = frozenset({"sheets", "code_page"})  # which one it is, before anything is read of it
NO_GARMENT = frozenset({"total", "heading_again", "lone"})
QUANTITY = "quantity"
OF_ROW = NO_GARMENT | {"more_cells", QUANTITY}  # of no cell that is pressed
HIDDEN = frozenset(
    {"hidden_rows", "hidden_column", "struck_rows"}
)  # in the sheet, also once they are left out
LEAVES_OUT = HIDDEN | OF_ROW
HEADING = "unknown_column"
OF_COLUMNS = frozenset({"no_column", "doubled", "no_header"})  # a heading's answer cures them
NO_ANSWER = Allowed(keep=False)


def allowed(fault: Fault) -> Allowed:
    """Return what may be answered to a question, or to a fault of a cell."""
    cause, doubt = _cause(fault), fault.doubt
    others = () if doubt is None else tuple(e for e in doubt.could_be if e != doubt.read_as)
    if cause in OF_COLUMNS:
        return NO_ANSWER
    if fault.key in CELLS and fault.line:
        near = (fault.nearest,) if fault.nearest else ()
        choices = near if doubt is None else doubt.could_be
        if fault.key == "size":
            choices = tuple(dict.fromkeys(each.code for c in choices if (each := size_named(c))))
        keep = fault.question and _stands(fault, cause) and fault_read_as(fault) not in choices
        return Allowed(keep, choices, leave_out=True, writes=fault.key)
    if not fault.question:
        return NO_ANSWER
    if cause == HEADING:
        return Allowed(keep=False, choices=(*sorted(CELLS), "quantity"), leave_out=True)
    if cause == QUANTITY:
        return Allowed(keep=True, choices=doubt.could_be if doubt else (), leave_out=True)
    choices = others if cause in WHOLE_FILE else ()
    return Allowed(keep=True, choices=choices, leave_out=cause in LEAVES_OUT)


def _cause(fault: Fault) -> str:
    return fault.problem.id.rpartition(".")[2]


def of_whole_file(name: str) -> bool:
    """Whether a question, by its name, is which sheet or which letters are meant."""
    return not WHOLE_FILE.isdisjoint(name.split(".")[2:3])


def fault_read_as(fault: Fault) -> str:
    """Return what the job holds where a question is about a cell."""
    return "" if fault.doubt is None else fault.doubt.read_as


def _stands(fault: Fault, cause: str) -> bool:
    """Whether what was read may stay: a size has to be one, and a number is no date."""
    if cause in NO_TEXT or (fault.key == "number" and cause in NO_NUMBER):
        return False
    return fault.key != "size" or fault_read_as(fault) in BY_CODE


def settle(
    read: Callable[[Edits], tuple[Fault, ...]],
    row: Callable[[int], tuple[str, ...]],
    answers: Answers,
) -> tuple[Fault, ...]:
    """Read with answers in place until no more of them fits, and return what is still open.

    `read` returns the faults of a reading with some edits, `row` the cells of a row as they
    stand in the file. An answer in the place of a cell is put there once: where the same is
    asked of it again it was meant so. While it is open which sheet or which letters are meant,
    no cell is asked about.
    """
    edits, put = NO_EDITS, dict[str, str]()
    while True:
        named = (replace(f, id=question_id(f, row(f.line))) for f in read(edits))
        faults = tuple(dict.fromkeys(named))  # of two garments of one row it is asked once
        following = _with_answers(edits, faults, answers, put)
        if following == edits:
            break
        edits = following
    open_ = _one_a_cell(each for each in faults if not _is_kept(each, answers, put, edits))
    if any(of_whole_file(fault.id) for fault in open_):  # its cells are others then
        return tuple(each for each in open_ if not each.question or of_whole_file(each.id))
    return open_


MANNER = frozenset({"small_letters", "all_capitals", "marks"})


def _one_a_cell(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """The faults without how a cell is written where its text is in doubt itself."""
    found = tuple(faults)
    doubtful = {(each.line, each.key) for each in found if _cause(each) not in MANNER}
    return tuple(f for f in found if _cause(f) not in MANNER or (f.line, f.key) not in doubtful)


def kept(faults: Iterable[Fault], answers: Answers) -> tuple[Fault, ...]:
    """Return what is left of faults of no row: not what was answered as right."""
    named = (replace(fault, id=question_id(fault)) for fault in faults)
    return tuple(fault for fault in named if not _is_kept(fault, answers, {}, NO_EDITS))


def _with_answers(
    edits: Edits, faults: Iterable[Fault], answers: Answers, put: dict[str, str]
) -> Edits:
    """The edits with what further answers ask for; one in a cell's place at a time."""
    cells, rows, meant = dict(edits.cells), set(edits.rows), edits.meant
    unused, garments = set(edits.unused), set(edits.garments)
    for fault in faults:
        name, answer, may = fault.id, answers.get(fault.id), allowed(fault)
        place = (fault.line, fault.key)
        if answer is None or name in put:
            continue
        if answer.decision == LEAVE_OUT and may.leave_out:
            put[name] = LEAVE_OUT
            _leave_out(fault, rows, unused)
        elif answer.decision == KEEP and _cause(fault) in NO_GARMENT:
            put[name] = KEEP
            garments.add(fault.line)
        elif _goes_in_cell(fault, answer) and cells.get(place) == edits.cells.get(place):
            put[name] = cells[place] = answer.text
        elif answer.text in may.choices and _cause(fault) in WHOLE_FILE:
            put[name] = meant = answer.text
    return Edits(cells, frozenset(rows), frozenset(unused), meant, frozenset(garments))


def _goes_in_cell(fault: Fault, answer: Answer) -> bool:
    """Whether an answer is a text in the cell's place; a quantity has to be one that is offered."""
    may = allowed(fault)
    if _cause(fault) == QUANTITY:
        return answer.text in may.choices
    return not answer.decision and may.writes != ""


def edits_of(
    answers: Answers, rows: Mapping[int, tuple[str, ...]], faults: Iterable[Fault]
) -> Edits:
    """Return what answers put in the place of cells of these rows, whatever is asked of them.

    `faults` are those of the file itself. For a shop that no longer has the recipe by which
    cells were asked about.
    """
    cells, left, garments = dict[tuple[int, str], str](), set[int](), set[int]()
    for name, answer in answers.items():
        line, field_, *_, digest = (*name.split("."), "")[:4]
        row = int(line) if line.isdecimal() else 0
        if answer.decision == KEEP and not NO_GARMENT.isdisjoint(name.split(".")):
            garments.add(row)
        if field_ not in {*CELLS, "quantity"} or row not in rows or row_digest(rows[row]) != digest:
            continue
        if answer.decision == LEAVE_OUT:
            left.add(row)
        elif not answer.decision:
            cells[row, field_] = answer.text
    own = tuple(replace(f, id=question_id(f, rows.get(f.line, ()))) for f in faults)
    edits = Edits(cells, frozenset(left), garments=frozenset(garments))
    return _with_answers(edits, own, answers, {})


def resolved(answer: Answer, may: Allowed) -> Answer | None:
    """Return an answer as it is kept: a choice as its text; None for one that is not allowed."""
    choice = CHOICE.fullmatch(answer.decision)
    if choice is not None:
        nth = int(choice[1])
        return Answer(text=may.choices[nth - 1]) if nth <= len(may.choices) else None
    if answer.decision:
        return answer if (may.keep if answer.decision == KEEP else may.leave_out) else None
    return answer if may.writes or answer.text in may.choices else None


def _leave_out(fault: Fault, rows: set[int], unused: set[str]) -> None:
    hidden = fault.problem.values.get("rows")
    if isinstance(hidden, tuple):
        rows |= {each for each in hidden if isinstance(each, int)}
    elif fault.key in CELLS or _cause(fault) in OF_ROW:
        rows.add(fault.line)
    elif fault.doubt is not None and not (_cause(fault) == HEADING and fault.doubt.written):
        unused.add(fault.doubt.written)  # job.yaml names the others, and the shop remembers them


def _is_kept(fault: Fault, answers: Answers, put: Mapping[str, str], edits: Edits) -> bool:
    """Whether a question that is asked again is answered: kept as read, written so, or left out."""
    answer = answers.get(fault.id)
    if not fault.question or answer is None:
        return False
    if answer.decision == KEEP:
        return allowed(fault).keep
    if answer.decision == LEAVE_OUT:
        return _cause(fault) in HIDDEN and fault.id in put
    if _cause(fault) in WHOLE_FILE:
        return fault.id in put and edits.meant == put[fault.id]
    own = f"{fault.line}.{fault.key}."  # other answers may have changed the cell since
    written = {text for name, text in put.items() if name.startswith(own)}
    meant = fault.id in put and edits.cells.get((fault.line, fault.key)) in written
    return meant and (fault.key != "size" or fault_read_as(fault) in BY_CODE)
