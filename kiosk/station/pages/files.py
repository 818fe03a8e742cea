"""Pages for the shop's files: the checker's words, the values, changing one of them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Leaf
from kiosk.station.desk import Desk, Page
from kiosk.station.pages.keys import digits, point
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words, fault_text

MOST_FAULTS = 4
LONGEST_NUMBER = 8


def files(desk: Desk, words: Words) -> Sheet:
    """The files; where the checker has found faults its words come first."""
    faults = desk.library.faults
    if faults and desk.editing.telling:
        return _told(desk, words)

    def choice(name: str) -> Button:
        count = sum(Path(fault.file).name == name for fault in faults)
        line = words("page.files.faults", count=count) if count else ""
        label = name.removesuffix(".yaml").replace("-", " ")  # at hyphens a label cannot be broken
        return Button(label, lambda: desk.editing.open(name), line)

    return Sheet(
        title=words("page.files"),
        headline=words("page.files.faults" if faults else "page.files.none", count=len(faults)),
        lines=(words("page.files.line"),),
        choices=tuple(choice(name) for name in desk.editing.names()),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _told(desk: Desk, words: Words) -> Sheet:
    faults = desk.library.faults
    told = (replace(fault, file=Path(fault.file).name) for fault in faults[:MOST_FAULTS])
    return Sheet(
        title=words("page.files.told", count=len(faults)),
        lines=tuple(fault_text(fault, words) for fault in told),
        main=Button(words("page.files.go_on"), desk.editing.hush),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def values(desk: Desk, words: Words) -> Sheet:
    """What stands in a file, or below a key of it."""
    editing = desk.editing

    def choice(key: str, leaf: Leaf | None) -> Button:
        return Button(key, lambda: editing.enter(key), "" if leaf is None else leaf.value)

    return Sheet(
        title=" ".join((editing.file.removesuffix(".yaml"), *editing.path)),
        choices=tuple(choice(key, leaf) for key, leaf in editing.below().items()),
        left=Button(words("page.back"), editing.leave),
    )


def value(desk: Desk, words: Words) -> Sheet:
    """One value: a number is typed, a word chosen; what the checker refuses is told."""
    editing = desk.editing
    if editing.refused:
        return _refused(desk, words)
    title = " ".join(editing.path)
    lines = (words("page.value.now", value=editing.value),)
    back = Button(words("page.back"), editing.leave)
    if editing.words:
        choices = tuple(_word(desk, word) for word in editing.words)
        return Sheet(title, lines, choices=choices, left=back)
    if not editing.is_amount:
        return Sheet(title, (*lines, words("page.value.in_file")), left=back)
    return Sheet(
        f"{' '.join(editing.path[-2:])}: {editing.value}",
        entry=editing.typed,
        choices=(
            *digits(desk, words, LONGEST_NUMBER),
            point(desk, words, LONGEST_NUMBER),
            *(_unit(desk, unit) for unit in editing.units),
        ),
        columns=6,
        main=Button(words("page.value.write"), lambda: editing.take(_written(editing.typed))),
        left=back,
    )


def _written(typed: str) -> str:
    """A number as the files have it: there a comma parts two values."""
    return typed.replace(",", ".")


def _refused(desk: Desk, words: Words) -> Sheet:
    """The checker's words; the file is as it was."""
    faults = desk.editing.refused[:MOST_FAULTS]
    return Sheet(
        title=words("page.value.refused"),
        lines=tuple(fault_text(fault, words) for fault in faults),
        main=Button(words("page.value.again"), desk.editing.again),
        left=Button(words("page.back"), desk.editing.leave),
    )


def _word(desk: Desk, word: str) -> Button:
    return Button(word, lambda: desk.editing.take(word))


def _unit(desk: Desk, unit: str) -> Button:
    def act() -> None:
        desk.editing.unit = unit

    return Button(unit, act)
