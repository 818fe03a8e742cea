"""A supervisor changes single values of the recipes' files."""

import re
from pathlib import Path

from kiosk.catalog.base import (
    Fault,
    Leaf,
    leaves,
    matching,
    say,
    values_by_path,
    with_value,
    write_whole,
)
from kiosk.catalog.read import new_faults
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.file_words import TITLED, Leaves, fault_line
from kiosk.station.desk.shift.files import Files
from kiosk.words import Words

UNITS = (("F", "C"), ("s", "min", "h"), ("in", "mm"))
"""Units that may replace one another; the checker decides whether they may here."""

_AMOUNT = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)(?: *([A-Za-z%/0-9]+))?")
_NO_VALUE = "no-such-value"  # fits no key, so that the checker lists what would


class Editing:
    """The supervisor's place in the files: a file, a path in it, the value being typed.

    `refused` are the checker's faults of the value tried last; `shows_faults` is True until
    its faults of the files have been read.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.file = ""
        self.path: tuple[str, ...] = ()
        self.unit = ""
        self.words: tuple[str, ...] = ()
        self.refused: tuple[Fault, ...] = ()
        self.shows_faults = True

    # -- finding ----------------------------------------------------------

    def names(self) -> tuple[str, ...]:
        """Return the names of the files in use: the shop's own, then its recipes."""
        found = [path.name for path in matching(self._folder, "*.yaml")]
        titled = [name for name in TITLED if name in found]
        return (*titled, *(name for name in found if name not in titled))

    def title(self, file: str) -> str:
        """Return a recipe's title, "" if it has none."""
        if file in TITLED:
            return ""
        try:
            return values_by_path(self._text(file)).get(("title",), "")
        except (OSError, UnicodeDecodeError):
            return ""

    def show_files(self) -> None:
        """Turn to the files, with their faults first."""
        self.shows_faults = True
        self._desk.go(PageKind.FILES)

    def hide_faults(self) -> None:
        """Note that the faults have been read."""
        self.shows_faults = False

    def open(self, file: str) -> None:
        """Open a file."""
        self.file, self.path = file, ()
        self._desk.go(PageKind.VALUES)

    def below(self) -> dict[str, Leaf | None]:
        """Return what is below the path: single values, or None for a key with parts of its own."""
        depth = len(self.path)
        found: dict[str, Leaf | None] = {}
        for path, leaf in self.leaves.items():
            if path[:depth] == self.path and len(path) > depth:
                found[path[depth]] = leaf if len(path) == depth + 1 else None
        return found

    def enter(self, key: str) -> None:
        """Go to `key`: to its parts, or to changing its value."""
        leaf = self.below().get(key)
        self.path = (*self.path, key)
        if leaf is None:
            self._desk.go(PageKind.VALUES)
        else:
            self._begin(leaf)

    def leave(self) -> None:
        """Go one level up, at last to the files."""
        self.refused = ()
        if not self.path:
            self._desk.go(PageKind.FILES)
            return
        self.path = self.path[:-1]
        self._desk.go(PageKind.VALUES)

    @property
    def leaves(self) -> Leaves:
        """All values of the file."""
        return self._leaves(self.file)

    @property
    def line(self) -> int:
        """The line of the file where the path begins."""
        depth = len(self.path)
        starts = [leaf.start for at, leaf in self.leaves.items() if at[:depth] == self.path]
        return self._text().count("\n", 0, min(starts)) + 1 if starts else 1

    def fault_line(self, fault: Fault, words: Words) -> str:
        """Return a fault of the checker in plain words."""
        return fault_line(words, fault, self._leaves(Path(fault.file).name))

    # -- changing ---------------------------------------------------------

    @property
    def value(self) -> str:
        """The value in the file."""
        leaf = self.leaves.get(self.path)
        return "" if leaf is None else leaf.value

    @property
    def units(self) -> tuple[str, ...]:
        """The units that the value's own could be changed to, itself included."""
        return next((each for each in UNITS if self.unit in each), ())

    @property
    def is_amount(self) -> bool:
        """Whether a number is typed for it."""
        return not self.words and _AMOUNT.fullmatch(self.value) is not None

    @property
    def typed(self) -> str:
        """The value as it would be written."""
        return f"{self._desk.entry} {self.unit}".strip()

    def write(self, value: str) -> None:
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
            desk.shell.not_written(problem)
            return
        except (KeyError, UnicodeDecodeError):
            desk.shell.say(say("station.file_changed"))
            return
        desk.library.read()
        desk.of(Files).record_changes(on_screen=True)
        desk.shell.say(say("station.file_written", file=self.file))
        self.leave()

    def retry(self) -> None:
        """Clear the refused value, to try another one."""
        self.refused = ()
        self._desk.entry = ""

    def _begin(self, leaf: Leaf) -> None:
        self.refused = ()
        amount = _AMOUNT.fullmatch(leaf.value)
        self.unit = (amount.group(2) or "") if amount else ""
        self.words = self._allowed()
        self._desk.go(PageKind.VALUE)

    def _allowed(self) -> tuple[str, ...]:
        """Return the words the checker allows here; none if it asks for an amount."""
        try:
            text = with_value(self._text(), self.path, _NO_VALUE)
            faults = new_faults(self._folder, self.file, text)
        except (OSError, KeyError, UnicodeDecodeError):
            return ()
        allowed = next((f.allowed for f in faults if f.key == ".".join(self.path)), "")
        if not isinstance(allowed, str) or not allowed or any(c in allowed for c in "–…"):
            return ()
        return tuple(allowed.split(", "))

    @property
    def _folder(self) -> Path:
        return self._desk.library.recipes

    def _text(self, file: str = "") -> str:
        """Return the file's text, with its byte order mark and line ends as they are."""
        return (self._folder / (file or self.file)).read_bytes().decode("utf-8")

    def _leaves(self, file: str) -> Leaves:
        try:
            return leaves(self._text(file))
        except (OSError, UnicodeDecodeError):
            return {}
