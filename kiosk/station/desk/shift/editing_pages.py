"""Pages of the shop's files: their list, the values in one, one value, a refused change."""

from pathlib import Path

from kiosk.catalog.base import Leaf, say
from kiosk.station.desk.desk import Desk, digits, point
from kiosk.station.desk.sheet import Button, PageKind, Sheet
from kiosk.station.desk.shift.editing import Editing
from kiosk.station.desk.shift.file_words import file_name, first_values, key_name
from kiosk.words import Words, value_in_words

MOST_FAULTS = 4
LONGEST_NUMBER = 8


def files(desk: Desk, words: Words) -> Sheet:
    """Page of the files, after the checker's faults if there are any."""
    faults = desk.library.faults
    if faults and desk.of(Editing).shows_faults:
        return _faults(desk, words)

    def choice(name: str) -> Button:
        count = sum(Path(fault.file).name == name for fault in faults)
        fault_line = (words("page.files.faults", count=count),) if count else ()
        label = file_name(words, name, desk.of(Editing).title(name))
        return Button(label, lambda: desk.of(Editing).open(name), ", ".join((name, *fault_line)))

    return Sheet(
        title=words("page.files"),
        headline=words("page.files.faults" if faults else "page.files.none", count=len(faults)),
        lines=(words("page.files.line"),),
        choices=tuple(choice(name) for name in desk.of(Editing).names()),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def _faults(desk: Desk, words: Words) -> Sheet:
    faults = desk.library.faults
    editing = desk.of(Editing)
    return Sheet(
        title=words("page.files.told", count=len(faults)),
        lines=tuple(editing.fault_line(fault, words) for fault in faults[:MOST_FAULTS]),
        main=Button(words("page.files.go_on"), editing.hide_faults),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def values(desk: Desk, words: Words) -> Sheet:
    """Page of the values in a file, or below one of its keys."""
    editing = desk.of(Editing)

    def choice(key: str, leaf: Leaf | None) -> Button:
        path = (*editing.path, key)
        label = key_name(words, editing.file, path, editing.leaves)
        if leaf is None:
            line = first_values(words, path, editing.leaves)
        else:
            line = value_in_words(words, path, leaf.value)
        return Button(label, lambda: editing.enter(key), line)

    return Sheet(
        title=_title(editing, words),
        lines=(words("page.value.place", file=editing.file, line=editing.line),),
        choices=tuple(choice(key, leaf) for key, leaf in editing.below().items()),
        left=Button(words("page.back"), editing.leave),
    )


def _title(editing: Editing, words: Words) -> str:
    """Return the last two steps of the path into the file."""
    file, path = editing.file, editing.path
    steps = [file_name(words, file, editing.title(file))]
    steps += [key_name(words, file, path[:n], editing.leaves) for n in range(1, len(path) + 1)]
    return ": ".join(steps[-2:])


def value(desk: Desk, words: Words) -> Sheet:
    """Page of one value: a number is typed, a word chosen; a refused one shows why."""
    editing = desk.of(Editing)
    if editing.refused:
        return _refused(desk, words)
    title = _title(editing, words)
    text = value_in_words(words, editing.path, editing.value)
    place = say("page.value.place", file=editing.file, line=editing.line)
    current = words("page.value.now", value=text, place=place)
    back = Button(words("page.back"), editing.leave)
    if editing.words:
        choices = tuple(_word(desk, words, word) for word in editing.words)
        return Sheet(title, headline=current, choices=choices, left=back)
    if not editing.is_amount:
        return Sheet(title, (words("page.value.in_file"),), headline=current, left=back)
    return Sheet(
        title,
        headline=current,
        entry=editing.typed,
        choices=(
            *digits(desk, words, LONGEST_NUMBER),
            point(desk, words, LONGEST_NUMBER),
            *(_unit(desk, unit) for unit in editing.units),
        ),
        columns=6,
        main=Button(words("page.value.write"), lambda: editing.write(_as_in_file(editing.typed))),
        left=back,
    )


def _as_in_file(typed: str) -> str:
    """Return a number as the files have it: there a comma separates two values."""
    return typed.replace(",", ".")


def _refused(desk: Desk, words: Words) -> Sheet:
    """Page of the checker's faults; the file is unchanged."""
    editing = desk.of(Editing)
    return Sheet(
        title=words("page.value.refused"),
        lines=tuple(editing.fault_line(fault, words) for fault in editing.refused[:MOST_FAULTS]),
        main=Button(words("page.value.again"), editing.retry),
        left=Button(words("page.back"), editing.leave),
    )


def _word(desk: Desk, words: Words, word: str) -> Button:
    editing = desk.of(Editing)
    return Button(value_in_words(words, editing.path, word), lambda: editing.write(word))


def _unit(desk: Desk, unit: str) -> Button:
    def act() -> None:
        desk.of(Editing).unit = unit

    return Button(unit, act)
