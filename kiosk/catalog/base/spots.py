"""A place in a YAML file's tree, with checked reading of its keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

import yaml

from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Message, Notes, Unsound, say, word_problem

T = TypeVar("T")
NULL = "tag:yaml.org,2002:null"


@dataclass(frozen=True, slots=True)
class Spot:
    """One node with its key path (`smooth-film.dwell.1.low`, list places from 1) and its line."""

    notes: Notes
    node: yaml.Node
    key: str
    line: int

    @property
    def is_null(self) -> bool:
        """Whether the value here is missing or the word null."""
        return self.node.tag == NULL

    def wrong(self, problem: Message, *, allowed: str | Message = "", nearest: str = "") -> Unsound:
        """Note that the value here is wrong, and return the exception to raise."""
        found = self.node.value if isinstance(self.node, yaml.ScalarNode) else ""
        return self.notes.add(
            problem, line=self.line, key=self.key, found=found, allowed=allowed, nearest=nearest
        )

    def scalar(self) -> str:
        """Return the text as written, stripped; raises Unsound if there is none."""
        if not isinstance(self.node, yaml.ScalarNode):
            raise self.wrong(say("catalog.asked.value", kind=_kind(self.node)))
        if self.is_null or not self.node.value.strip():
            raise self.wrong(say("catalog.asked.something"))
        return str(self.node.value).strip()

    def items(self) -> tuple[Spot, ...]:
        """Return the spots of a list's items; raises Unsound if empty or not a list."""
        if not isinstance(self.node, yaml.SequenceNode):
            raise self.wrong(say("catalog.asked.list", kind=_kind(self.node)))
        if not self.node.value:
            raise self.wrong(say("catalog.asked.one"))
        return tuple(
            Spot(self.notes, node, f"{self.key}.{n}".lstrip("."), _line(node))
            for n, node in enumerate(self.node.value, start=1)
        )

    def entries(self) -> dict[str, Spot]:
        """Return the spots of a map by key, noting doubled keys; raises Unsound if not a map."""
        if not isinstance(self.node, yaml.MappingNode):
            raise self.wrong(say("catalog.asked.map", kind=_kind(self.node)))
        found: dict[str, Spot] = {}
        for key_node, value_node in self.node.value:
            name = self._key_word(key_node)
            if name is None:
                continue
            line = _line(key_node)
            spot = Spot(self.notes, value_node, f"{self.key}.{name}".lstrip("."), line)
            if name in found:
                problem = say("catalog.key.doubled", first=found[name].line)
                self.notes.add(problem, line=line, key=spot.key)
            else:
                found[name] = spot
        return found

    def word_under(self, key: str) -> str:
        """Return the text under `key` of the map here, unchecked; empty if there is none."""
        pairs = self.node.value if isinstance(self.node, yaml.MappingNode) else ()
        return next((str(v.value) for k, v in pairs if k.value == key and _is_word(v)), "")

    def _key_word(self, node: yaml.Node) -> str | None:
        line = _line(node)
        if not isinstance(node, yaml.ScalarNode):
            self.notes.add(say("catalog.key.no_word", kind=_kind(node)), line=line, key=self.key)
            return None
        name = str(node.value).strip()
        problem = word_problem(name)
        if problem is not None:
            self.notes.add(problem, line=line, key=self.key, found=name)
            return None
        return name


@dataclass(frozen=True, slots=True)
class ValueRead(Generic[T]):
    """A value that was read, or the fact that it could not be."""

    _value: tuple[T] | None

    @property
    def sound(self) -> bool:
        """Whether there is a value."""
        return self._value is not None

    @property
    def value(self) -> T:
        """The value; raises Unsound if reading it failed (the fault is already noted)."""
        if self._value is None:
            raise Unsound
        return self._value[0]


def attempt(read: Callable[[Spot], T], spot: Spot) -> ValueRead[T]:
    """Return what `read` returns for `spot`, keeping a failure instead of raising it."""
    try:
        return ValueRead((read(spot),))
    except Unsound:
        return ValueRead(None)


def root(node: yaml.Node, notes: Notes) -> Spot:
    """Return the spot of a file's outermost node."""
    return Spot(notes, node, "", _line(node))


def _line(node: yaml.Node) -> int:
    return int(node.start_mark.line) + 1


def _is_word(node: yaml.Node) -> bool:
    return isinstance(node, yaml.ScalarNode)


def _kind(node: yaml.Node) -> Message:
    if isinstance(node, yaml.MappingNode):
        return say("catalog.kind.map")
    if isinstance(node, yaml.SequenceNode):
        return say("catalog.kind.list")
    return say("catalog.kind.value")
