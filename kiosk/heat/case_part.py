"""A part of a heat case in its file, read by key and type, with errors that say where."""

import json
from collections.abc import Collection, Iterator
from typing import Any

from kiosk.catalog.base import one_line


class CaseFault(ValueError):
    """A fault in a case, with the path to it."""


class CasePart:
    """A part of a case as JSON, and the path to it: `stages 1: top: T`."""

    def __init__(self, value: Any, path: str = "") -> None:
        self.value = value
        self._path = path

    def _expect(self, kind: type, expected: str) -> Any:
        if not isinstance(self.value, kind):
            raise self.wrong(f"write {expected}")
        return self.value

    def wrong(self, message: str) -> CaseFault:
        """Return an error to raise; a single value found there is shown."""
        single = not isinstance(self.value, dict | list)
        found = f"; found: {one_line(json.dumps(self.value))}" if single else ""
        return self._wrong(f"{message}{found}")

    def _wrong(self, message: str) -> CaseFault:
        return CaseFault(": ".join(filter(None, (self._path, message))))

    def __getitem__(self, key: str) -> "CasePart":
        if (part := self.get(key)) is None:
            raise self._wrong(f"there is no {key}")
        return part

    def get(self, key: str) -> "CasePart | None":
        """Return the part under a key, None if it is missing or null."""
        part = dict(self.entries()).get(key)
        return None if part is None or part.value is None else part

    def entries(self) -> Iterator[tuple[str, "CasePart"]]:
        """Yield keys with their parts."""
        for key, value in self._expect(dict, "keys with values").items():
            yield key, CasePart(value, f"{self._path}: {key}".removeprefix(": "))

    def items(self, count: int = 0) -> "list[CasePart]":
        """Return the parts of a list, which must have `count` items if that is given."""
        items = self._expect(list, f"a list of {count}" if count else "a list")
        if not items:
            raise self.wrong("write at least one")
        if count and len(items) != count:
            raise self.wrong(f"write a list of {count}, not of {len(items)}")
        return [CasePart(value, f"{self._path} {n}".strip()) for n, value in enumerate(items, 1)]

    def text(self, choices: Collection[str] | None = None) -> str:
        """Return a text, one of `choices` if that is given."""
        text: str = self._expect(str, "a text")
        if choices is not None and text not in choices:
            raise self.wrong(f"write one of {', '.join(choices)}")
        return text

    def flag(self) -> bool:
        """Return true or false."""
        return bool(self._expect(bool, "true or false"))

    def number(self, least: float = -1e9, most: float = 1e9) -> float:
        """Return a number from `least` to `most`, both included."""
        value = self.value
        if isinstance(value, bool) or not (
            isinstance(value, int | float) and least <= value <= most
        ):
            raise self.wrong(f"write a number, {least:g} to {most:g}")
        return float(value)
