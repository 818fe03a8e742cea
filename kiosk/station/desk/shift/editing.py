"""A supervisor changes single values of the recipes' files."""

import re
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Fault, Leaf, leaves, matching, say, with_value, write_whole
from kiosk.catalog.read import new_faults
from kiosk.station.desk.desk import Desk, digits, point
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words, fault_text

UNITS = (("F", "C"), ("s", "min", "h"), ("in", "mm"))
"""Units that may stand for one another; whether they may here is for the checker to say."""

_AMOUNT = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)(?: *([A-Za-z%/0-9]+))?")
_NO_VALUE = "no-such-value"  # fits no key: the checker then says what would


class Editing:
    """Where the supervisor is in the files: a file, a place in it, the value that is typed.

    `refused` are the checker's faults of the value that was tried last; `telling` while its
    faults of the files as they stand have not been read.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.file = ""
        self.path: tuple[str, ...] = ()
        self.unit = ""
        self.words: tuple[str, ...] = ()
        self.refused: tuple[Fault, ...] = ()
        self.telling = True

    # -- finding ----------------------------------------------------------

    def names(self) -> tuple[str, ...]:
        """Return the names of the files that are read."""
        return tuple(path.name for path in matching(self._folder, "*.yaml"))

    def look(self) -> None:
        """Turn to the files, what is wrong with them first."""
        self.telling = True
        self._desk.go(Page.FILES)

    def hush(self) -> None:
        """The faults have been read."""
        self.telling = False

    def open(self, file: str) -> None:
        """Look into a file."""
        self.file, self.path = file, ()
        self._desk.go(Page.VALUES)

    def below(self) -> dict[str, Leaf | None]:
        """Return what stands below the place: single values, None for what has parts itself."""
        depth = len(self.path)
        found: dict[str, Leaf | None] = {}
        for path, leaf in self._leaves().items():
            if path[:depth] == self.path and len(path) > depth:
                found[path[depth]] = leaf if len(path) == depth + 1 else None
        return found

    def enter(self, key: str) -> None:
        """Go to what stands under `key`: to its parts, or to changing it."""
        leaf = self.below().get(key)
        self.path = (*self.path, key)
        if leaf is None:
            self._desk.go(Page.VALUES)
        else:
            self._begin(leaf)

    def leave(self) -> None:
        """Go one place up, at last to the files."""
        self.refused = ()
        if not self.path:
            self._desk.go(Page.FILES)
            return
        self.path = self.path[:-1]
        self._desk.go(Page.VALUES)

    # -- changing ---------------------------------------------------------

    @property
    def value(self) -> str:
        """The value as it stands in the file."""
        leaf = self._leaves().get(self.path)
        return "" if leaf is None else leaf.value

    @property
    def units(self) -> tuple[str, ...]:
        """The units that the value's own could be changed to, with itself."""
        return next((each for each in UNITS if self.unit in each), ())

    @property
    def is_amount(self) -> bool:
        """Whether a number is typed for it."""
        return not self.words and _AMOUNT.fullmatch(self.value) is not None

    @property
    def typed(self) -> str:
        """The value as it would be written."""
        return f"{self._desk.entry} {self.unit}".strip()

    def take(self, value: str) -> None:
        """Write `value` in place of the old one, unless the checker finds a fault with it."""
        desk = self._desk
        path = self._folder / self.file
        try:
            text = with_value(self._text(), self.path, value)
            self.refused = new_faults(self._folder, self.file, text)
            if self.refused:
                return
            write_whole(path, text.encode())
        except OSError as problem:
            desk.shell.say(say("station.file_not_written", why=problem.strerror or ""))
            return
        except (KeyError, UnicodeDecodeError):
            desk.shell.say(say("station.file_changed"))
            return
        desk.library.read()
        desk.of(Files).note(on_screen=True)
        desk.shell.say(say("station.file_written", file=self.file))
        self.leave()

    def again(self) -> None:
        """Put what was refused away, and try another value."""
        self.refused = ()
        self._desk.entry = ""

    def _begin(self, leaf: Leaf) -> None:
        self.refused = ()
        amount = _AMOUNT.fullmatch(leaf.value)
        self.unit = (amount.group(2) or "") if amount else ""
        self.words = self._allowed()
        self._desk.go(Page.VALUE)

    def _allowed(self) -> tuple[str, ...]:
        """Return the words that the checker allows here; none where it asks for an amount."""
        try:
            tried = with_value(self._text(), self.path, _NO_VALUE)
            faults = new_faults(self._folder, self.file, tried)
        except (OSError, KeyError, UnicodeDecodeError):
            return ()
        allowed = next((f.allowed for f in faults if f.key == ".".join(self.path)), "")
        if not isinstance(allowed, str) or not allowed or any(c in allowed for c in "–…"):
            return ()
        return tuple(allowed.split(", "))

    @property
    def _folder(self) -> Path:
        return self._desk.library.recipes

    def _text(self) -> str:
        """The file's text, a byte order mark and its line ends as they are."""
        return (self._folder / self.file).read_bytes().decode("utf-8")

    def _leaves(self) -> dict[tuple[str, ...], Leaf]:
        try:
            return leaves(self._text())
        except (OSError, UnicodeDecodeError):
            return {}


MOST_FAULTS = 4
LONGEST_NUMBER = 8


def files(desk: Desk, words: Words) -> Sheet:
    """The files; where the checker has found faults its words come first."""
    faults = desk.library.faults
    if faults and desk.of(Editing).telling:
        return _told(desk, words)

    def choice(name: str) -> Button:
        count = sum(Path(fault.file).name == name for fault in faults)
        line = words("page.files.faults", count=count) if count else ""
        label = name.removesuffix(".yaml").replace("-", " ")  # at hyphens a label cannot be broken
        return Button(label, lambda: desk.of(Editing).open(name), line)

    return Sheet(
        title=words("page.files"),
        headline=words("page.files.faults" if faults else "page.files.none", count=len(faults)),
        lines=(words("page.files.line"),),
        choices=tuple(choice(name) for name in desk.of(Editing).names()),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _told(desk: Desk, words: Words) -> Sheet:
    faults = desk.library.faults
    told = (replace(fault, file=Path(fault.file).name) for fault in faults[:MOST_FAULTS])
    return Sheet(
        title=words("page.files.told", count=len(faults)),
        lines=tuple(fault_text(fault, words) for fault in told),
        main=Button(words("page.files.go_on"), desk.of(Editing).hush),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def values(desk: Desk, words: Words) -> Sheet:
    """What stands in a file, or below a key of it."""
    editing = desk.of(Editing)

    def choice(key: str, leaf: Leaf | None) -> Button:
        return Button(key, lambda: editing.enter(key), "" if leaf is None else leaf.value)

    return Sheet(
        title=" ".join((editing.file.removesuffix(".yaml"), *editing.path)),
        choices=tuple(choice(key, leaf) for key, leaf in editing.below().items()),
        left=Button(words("page.back"), editing.leave),
    )


def value(desk: Desk, words: Words) -> Sheet:
    """One value: a number is typed, a word chosen; what the checker refuses is told."""
    editing = desk.of(Editing)
    if editing.refused:
        return _refused(desk, words)
    title = " ".join((editing.file.removesuffix(".yaml"), *editing.path))
    now = words("page.value.now", value=editing.value)
    back = Button(words("page.back"), editing.leave)
    if editing.words:
        choices = tuple(_word(desk, word) for word in editing.words)
        return Sheet(title, headline=now, choices=choices, left=back)
    if not editing.is_amount:
        return Sheet(title, (words("page.value.in_file"),), headline=now, left=back)
    return Sheet(
        title,
        headline=now,
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
    faults = desk.of(Editing).refused[:MOST_FAULTS]
    return Sheet(
        title=words("page.value.refused"),
        lines=tuple(fault_text(fault, words) for fault in faults),
        main=Button(words("page.value.again"), desk.of(Editing).again),
        left=Button(words("page.back"), desk.of(Editing).leave),
    )


def _word(desk: Desk, word: str) -> Button:
    return Button(word, lambda: desk.of(Editing).take(word))


def _unit(desk: Desk, unit: str) -> Button:
    def act() -> None:
        desk.of(Editing).unit = unit

    return Button(unit, act)
