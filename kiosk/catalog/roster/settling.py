"""Apply answers to a roster's questions until no more answers fit."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field, replace

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.notes import Fault, question_id, row_digest
from kiosk.catalog.model.orders import BY_CODE
from kiosk.catalog.roster.answers import (
    CELLS,
    EACH,
    HEADING,
    HIDDEN,
    KEEP,
    LEAVE_OUT,
    NO_GARMENT,
    OF_ROW,
    QUANTITY,
    REMARKS,
    WHOLE_FILE,
    Answer,
    Answers,
    allowed,
    fault_read_as,
    of_whole_file,
)


@dataclass(frozen=True, slots=True)
class Edits:
    """The changes that answers make: texts by row and field, and rows left out.

    `choices` are the sheet and list to read, or the letters that choose a file's code page;
    `garments` are rows that do not look like garments but are; `each_remark`: ask about remarks
    row by row.
    """

    cells: Mapping[tuple[int, str], str] = field(default_factory=dict)
    rows: frozenset[int] = frozenset()
    unused: frozenset[str] = frozenset()
    choices: frozenset[str] = frozenset()
    garments: frozenset[int] = frozenset()
    each_remark: bool = False


NO_EDITS = Edits()


def settle(
    read: Callable[[Edits], tuple[Fault, ...]],
    row: Callable[[int], tuple[str, ...]],
    answers: Answers,
) -> tuple[Fault, ...]:
    """Read with the answers applied until no more of them fit; return the faults still open.

    `read` returns the faults of a reading with some edits, `row` a row's cells as in the file.
    An answer is put in a cell only once: if the cell then raises the same question, the answer
    was meant so. While the sheet or the letters are in question, no cell is asked about.
    """
    edits, applied = NO_EDITS, dict[str, str]()
    while True:
        with_ids = (replace(f, id=question_id(f, row(f.line))) for f in read(edits))
        faults = tuple(dict.fromkeys(with_ids))  # two garments of one row share a question
        next_edits = _with_answers(edits, faults, answers, applied)
        if next_edits == edits:
            break
        edits = next_edits
    unsettled = _one_per_cell(
        each for each in faults if not _is_settled(each, answers, applied, edits)
    )
    if any(of_whole_file(fault.id) for fault in unsettled):  # the answer changes the cells
        return tuple(
            each for each in unsettled if of_whole_file(each.id) or not _may_be_cured(each)
        )
    return unsettled


MANNER = frozenset({"small_letters", "all_capitals", "no_capital", "marks"})


NO_ROWS = frozenset({
    "no_table", "no_header", "headings_below", "on_its_side", "no_column", "doubled",
    "headings_differ", "swallowed", "no_rows",
})  # fmt: skip


def _may_be_cured(fault: Fault) -> bool:
    """Return whether reading another sheet, list or code page may remove the fault."""
    return fault.question or fault.cause in NO_ROWS


def _one_per_cell(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return the faults without those of a cell's spelling if its text is itself in doubt."""
    found = tuple(faults)
    doubtful = {(each.line, each.key) for each in found if each.cause not in MANNER}
    return tuple(f for f in found if f.cause not in MANNER or (f.line, f.key) not in doubtful)


def still_open(faults: Iterable[Fault], answers: Answers) -> tuple[Fault, ...]:
    """Return the faults without a row that were not answered "right as it is"."""
    with_ids = (replace(fault, id=question_id(fault)) for fault in faults)
    return tuple(fault for fault in with_ids if not _is_settled(fault, answers, {}, NO_EDITS))


def _with_answers(
    edits: Edits, faults: Iterable[Fault], answers: Answers, applied: dict[str, str]
) -> Edits:
    """Return the edits with those of further answers; at most one new text per cell."""
    cells, rows, choices = dict(edits.cells), set(edits.rows), edits.choices
    unused, garments, each_remark = set(edits.unused), set(edits.garments), edits.each_remark
    for fault in faults:
        name, answer, options = fault.id, answers.get(fault.id), allowed(fault)
        place = (fault.line, fault.key)
        if answer is None or name in applied:
            continue
        if answer.decision == LEAVE_OUT and options.leave_out:
            applied[name] = LEAVE_OUT
            _leave_out(fault, rows, unused)
        elif answer.decision == KEEP and fault.cause in NO_GARMENT:
            applied[name] = KEEP
            garments |= _rows(fault)
        elif _goes_in_cell(fault, answer) and cells.get(place) == edits.cells.get(place):
            applied[name] = cells[place] = answer.text
        elif answer.text in options.choices and fault.cause in WHOLE_FILE:
            applied[name] = answer.text
            choices |= {answer.text}
        elif answer.text == EACH and fault.cause == REMARKS:
            applied[name], each_remark = EACH, True
    return Edits(
        cells, frozenset(rows), frozenset(unused), choices, frozenset(garments), each_remark
    )


MANY = re.compile("[1-9][0-9]?")  # copies of one garment


def _goes_in_cell(fault: Fault, answer: Answer) -> bool:
    """Return whether an answer is a text for the cell; a quantity must be a number."""
    options = allowed(fault)
    if fault.cause == QUANTITY:
        return answer.text in options.choices or MANY.fullmatch(answer.text) is not None
    return not answer.decision and options.writes != ""


def edits_of(
    answers: Answers, rows: Mapping[int, tuple[str, ...]], faults: Iterable[Fault]
) -> Edits:
    """Return the edits that answers make to these rows, whether or not they are asked about.

    `faults` are those of the file itself. For a shop that no longer has the recipe whose
    elements raised the questions.
    """
    cells, left_out, garments = dict[tuple[int, str], str](), set[int](), set[int]()
    for name, answer in answers.items():
        line, field_, *_, digest = (*name.split("."), "")[:4]
        row = int(line) if line.isdecimal() else 0
        if answer.decision == KEEP and not NO_GARMENT.isdisjoint(name.split(".")):
            garments.add(row)
        if field_ not in {*CELLS, "quantity"} or row not in rows or row_digest(rows[row]) != digest:
            continue
        if answer.decision == LEAVE_OUT:
            left_out.add(row)
        elif not answer.decision:
            cells[row, field_] = answer.text
    own = tuple(replace(f, id=question_id(f, rows.get(f.line, ()))) for f in faults)
    edits = Edits(cells, frozenset(left_out), garments=frozenset(garments))
    return _with_answers(edits, own, answers, {})


def _rows(fault: Fault) -> set[int]:
    """Return the rows that a question is about."""
    several = fault.problem.values.get("rows")
    rows = several if isinstance(several, tuple) else (fault.line,)
    return {each for each in rows if isinstance(each, int)}


def _leave_out(fault: Fault, rows: set[int], unused: set[str]) -> None:
    if fault.key in CELLS or fault.cause in OF_ROW or "rows" in fault.problem.values:
        rows |= _rows(fault)
    elif fault.doubt is not None and not (fault.cause == HEADING and fault.doubt.written):
        unused.add(fault.doubt.written)  # columns with a heading are named in job.yaml instead


def _is_settled(fault: Fault, answers: Answers, applied: Mapping[str, str], edits: Edits) -> bool:
    """Return whether an answered question is settled: kept as read, written so, or left out."""
    answer = answers.get(fault.id)
    if not fault.question or answer is None:
        return False
    if answer.decision == KEEP:
        return allowed(fault).keep
    if answer.decision == LEAVE_OUT:
        return fault.cause in HIDDEN and fault.id in applied
    if fault.cause in WHOLE_FILE:
        return fault.id in applied and applied[fault.id] in edits.choices
    own = f"{fault.line}.{fault.key}."  # other answers may have changed the cell again
    texts = {text for name, text in applied.items() if name.startswith(own)}
    in_cell = fault.id in applied and edits.cells.get((fault.line, fault.key)) in texts
    return in_cell and (fault.key != "size" or fault_read_as(fault) in BY_CODE)
