"""An order's open questions as lines of an answers file."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kiosk.catalog import roster
from kiosk.catalog.base import Fault, one_line
from kiosk.catalog.model import BY_CODE
from kiosk.commands.load import nameless
from kiosk.words import Words

HEADING = "catalog.roster.unknown_column"


def without_names(fault: Fault, guessed: bool) -> Fault:
    """Return a question without possible player names, which guessed headings may reveal."""
    if fault.doubt is not None and guessed:
        return replace(fault, doubt=replace(fault.doubt, written="", read_as=""))
    return nameless(fault)


def question_lines(
    alike: Sequence[Fault], allowed: Sequence[roster.Allowed], words: Words
) -> Iterator[str]:
    """Yield where something is asked, what is written there, and the allowed answers.

    Similar questions are written as one, listing all their rows.
    """
    fault = alike[0]
    rows = roster.rows_of(alike)
    row = words("command.order.row", row=fault.line)
    where = [words("order.bare_rows", rows=rows) if len(alike) > 1 else row] if fault.line else []
    nth = fault.problem.values.get("place")
    where += [words("command.order.column", place=nth)] if nth else []
    problem = words.say(fault.problem)
    if fault.problem.id == HEADING:
        problem = _of_heading(fault, words)
    texts = [problem, *_cell_texts(alike, words)]
    place = ", ".join((*where, *([fault.key] if fault.key else [])))
    yield ": ".join(part for part in (place, "; ".join(texts)) if part)
    for_all = len(alike) > 1
    answers = tuple((_for_all if for_all else _answers)(fault, allowed, words))
    yield words("command.order.answers", answers=answers)


def _of_heading(fault: Fault, words: Words) -> str:
    """Return the question about a heading that is missing or does not match the cells below it."""
    if roster.is_made(fault.found):
        return words("command.order.unnamed")
    if fault.problem.values.get("unlike"):
        return words("command.order.unlike")
    return words("command.order.heading")


def _cell_texts(alike: Sequence[Fault], words: Words) -> Iterator[str]:
    """Yield the cells' texts, each once, and how a single cell was read."""
    written = (f.found if f.doubt is None else f.doubt.written for f in alike)
    texts = (text for text in written if text and not roster.is_made(text))
    quoted = tuple(dict.fromkeys(f'"{one_line(text)}"' for text in texts))
    if quoted:
        yield ", ".join(quoted)
    read_as = roster.fault_read_as(alike[0])
    repeated = f'"{one_line(read_as)}"' in quoted or roster.is_made(read_as)
    if len(alike) == 1 and read_as and not repeated:
        yield words("catalog.fault.read_as", read_as=f'"{one_line(read_as)}"')


def _for_all(fault: Fault, allowed: Sequence[roster.Allowed], words: Words) -> Iterator[str]:
    """Yield the answers that fit all rows, and the one that asks about each row."""
    if all(each.keep for each in allowed):
        yield roster.KEEP
    for nth, choices in enumerate(zip(*(each.choices for each in allowed), strict=True), 1):
        note = f" ({', '.join(dict.fromkeys(choices))})" if fault.doubt is not None else ""
        yield f"choice-{nth}{note}"
    if not allowed[0].choices and allowed[0].writes and fault.found:
        yield _write(allowed[0].writes, words)
    yield words("command.order.each")


def _write(field: str, words: Words) -> str:
    if field == "size":
        return words("command.order.size", sizes=tuple(BY_CODE))
    return words("command.order.write", field=field)


def _answers(fault: Fault, allowed: Sequence[roster.Allowed], words: Words) -> Iterator[str]:
    """Yield the allowed answers; a name that is not shown is chosen by position."""
    (own,) = allowed
    if own.keep:
        yield words("command.order.keep_one") if fault.key == "quantity" else roster.KEEP
    by_text = fault.doubt is not None or fault.nearest
    for nth, choice in enumerate(own.choices, 1):
        shown_as = f'"{choice}"' if choice else words("command.order.nothing")
        yield shown_as if by_text else f"choice-{nth}"
    if own.writes:
        yield _write(own.writes, words)
    if own.leave_out:
        yield roster.LEAVE_OUT
