"""What is doubtful beside the other rows of an order: a bare size, its letters, its marks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence

from kiosk.catalog.base.message import Message, say
from kiosk.catalog.base.notes import Notes
from kiosk.catalog.model.orders import BY_CODE, YOUTH_STEPS, SizeClass, bare_step
from kiosk.catalog.model.sheets import RosterLine
from kiosk.catalog.roster.tables import Row

APOSTROPHES, HYPHENS = "'’ʼ", "-‐‑"


def ask_in_order(placed: Iterable[tuple[Row, RosterLine]], notes: Notes) -> None:
    """Note what each row of an order leaves open by what the others say; all were read."""
    rows = tuple(placed)
    _ask_bare_sizes(rows, notes)
    named = tuple((row.line, line.name) for row, line in rows if line.name)
    _ask_case(named, notes)
    for kinds in (APOSTROPHES, HYPHENS):
        _ask_marks(named, kinds, notes)


def _ask_bare_sizes(rows: Sequence[tuple[Row, RosterLine]], notes: Notes) -> None:
    """A size that says neither youth nor adult is an adult's: asked where youth sizes are."""
    sizes = (BY_CODE.get(line.size) for _, line in rows)
    if not any(size is not None and size.size_class is SizeClass.YOUTH for size in sizes):
        return
    for row, line in rows:
        step = bare_step(line.as_written("size"))
        if step in YOUTH_STEPS and line.size == f"A{step}":
            notes.add(
                say("catalog.roster.bare_size"), line=row.line, key="size", question=True,
                found=line.as_written("size"), read_as=line.size, could_be=(f"Y{step}", line.size),
            )  # fmt: skip


def _ask_case(named: Sequence[tuple[int, str]], notes: Notes) -> None:
    """Ask about the fewer: names with small letters among capitals, or the other way round."""
    cased = [(line, name) for line, name in named if name.upper() != name.lower() and len(name) > 1]
    small = [each for each in cased if not _in_capitals(each[1])]
    if not small or len(small) == len(cased):
        return
    if 2 * len(small) <= len(cased):
        _ask_each(small, say("catalog.roster.small_letters"), str.upper, notes)
    else:
        capitals = [each for each in cased if each not in small]
        _ask_each(capitals, say("catalog.roster.all_capitals"), str.title, notes)


def _in_capitals(name: str) -> bool:
    """Whether a name is all capitals; ß stands among them as it is."""
    plain = name.replace("ß", "")
    return plain == plain.upper()


def _ask_each(
    named: Iterable[tuple[int, str]], cause: Message, other: Callable[[str], str], notes: Notes
) -> None:
    for line, name in named:
        notes.add(cause, line=line, key="name", found=name, could_be=(other(name),), question=True)


def _ask_marks(named: Sequence[tuple[int, str]], kinds: str, notes: Notes) -> None:
    """Ask about marks that mean the same as others in the order, and are cut otherwise."""
    count = Counter(mark for _, name in named for mark in kinds if mark in name)
    if len(count) < 2:
        return
    usual = count.most_common(1)[0][0]
    for line, name in named:
        others = tuple(mark for mark in kinds if mark in name and mark != usual)
        if others:
            like = name.translate({ord(mark): usual for mark in others})
            cause = say("catalog.roster.marks", here=others, usual=usual)
            notes.add(cause, line=line, key="name", found=name, could_be=(like,), question=True)
