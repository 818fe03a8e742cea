"""Questions that repeat row after row, so that one answer can settle all of them."""

from collections.abc import Iterable

from kiosk.catalog.base import Fault
from kiosk.catalog.base.notes import row_digest
from kiosk.catalog.roster.answers import EACH, Answer, allowed, resolve

WORTH_ONCE = 3  # from here on, asking once takes fewer touches
ONE_ANSWER = frozenset({
    "apostrophe", "bare_size", "decimals", "merged", "more_cells",
    "small_letters", "all_capitals", "no_capital", "marks", "two_names",
    "no_name", "no_number", "both_sets",
})  # fmt: skip
"""Causes that a program or a habit produces in every row."""


OF_ONE_TEXT = frozenset({"size", "stand_in", "none_yet", "set_alike"})
"""Causes with one answer for all rows with the same text: an unknown size, TBD."""


def group_id(fault: Fault) -> str:
    """Return the id under which all questions like this one are answered, "" if none are.

    For causes of OF_ONE_TEXT only questions with the same text are alike.
    """
    cause, doubt = fault.cause, fault.doubt
    if not fault.line or doubt is None:
        return ""
    if cause in OF_ONE_TEXT:
        return f"all.{fault.key}.{cause}.{row_digest((doubt.written.casefold(),))}"
    if cause == "number_format":
        return f"all.number.{cause}.{row_digest((str(fault.problem.values['format']),))}"
    if cause == "decimals" and not fault.nearest:
        return ""
    return f"all.{fault.key or 'file'}.{cause}" if cause in ONE_ANSWER else ""


def question_groups(faults: Iterable[Fault]) -> dict[str, tuple[Fault, ...]]:
    """Return the groups of questions worth asking once, by `group_id`."""
    found: dict[str, list[Fault]] = {}
    for fault in faults:
        found.setdefault(group_id(fault), []).append(fault)
    return {
        name: tuple(group)
        for name, group in found.items()
        if name and len(group) >= WORTH_ONCE and len({len(allowed(f).choices) for f in group}) == 1
    }


RUN = 4  # consecutive rows from which on they are shown as a range


def rows_of(faults: Iterable[Fault]) -> tuple[str, ...]:
    """Return the rows of some questions as texts: 2, 3, 7–40."""
    return row_ranges({fault.line for fault in faults})


def row_ranges(rows: Iterable[int]) -> tuple[str, ...]:
    """Return rows as texts, long runs as a range: 2, 3, 7–40."""
    runs: list[list[int]] = []
    for row in sorted(rows):
        if runs and runs[-1][-1] == row - 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    texts = ([f"{run[0]}–{run[-1]}"] if len(run) >= RUN else map(str, run) for run in runs)
    return tuple(text for run in texts for text in run)


def answer_to(fault: Fault, answers: dict[str, Answer]) -> Answer | None:
    """Return the answer to a question, or to all alike; None if there is no allowed answer."""
    own = answers.get(fault.id)
    if own is None:
        own = answers.get(group_id(fault))
        if own is None or own.text == EACH:
            return None
    return resolve(own, allowed(fault))
