"""A place in a file's tree, and the checked reading of its keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

import yaml

from kiosk.catalog.base.message import Message, say
from kiosk.catalog.base.notes import Fault, Notes, Unsound, listed, nearest_word, word_problem

T = TypeVar("T")
NULL = "tag:yaml.org,2002:null"


@dataclass(frozen=True, slots=True)
class Spot:
    """One node, with its key path (`smooth-film.dwell.1.low`, list places from 1).

    `line`, from 1, is where its key stands, or in a list the node itself.
    """

    notes: Notes
    node: yaml.Node
    key: str
    line: int

    @property
    def is_null(self) -> bool:
        """Whether nothing, or the word null, stands here."""
        return self.node.tag == NULL

    def wrong(self, problem: Message, *, allowed: str | Message = "", nearest: str = "") -> Unsound:
        """Note that what stands here is wrong, and return what to raise."""
        found = self.node.value if isinstance(self.node, yaml.ScalarNode) else ""
        return self.notes.add(
            problem, line=self.line, key=self.key, found=found, allowed=allowed, nearest=nearest
        )

    def scalar(self) -> str:
        """Return the text as written, blanks around it taken off; Unsound for none."""
        if not isinstance(self.node, yaml.ScalarNode):
            raise self.wrong(say("catalog.asked.value", kind=_kind(self.node)))
        if self.is_null or not self.node.value.strip():
            raise self.wrong(say("catalog.asked.something"))
        return str(self.node.value).strip()

    def items(self) -> tuple[Spot, ...]:
        """Return the places of a list of at least one; Unsound for anything else."""
        if not isinstance(self.node, yaml.SequenceNode):
            raise self.wrong(say("catalog.asked.list", kind=_kind(self.node)))
        if not self.node.value:
            raise self.wrong(say("catalog.asked.one"))
        return tuple(
            Spot(self.notes, node, f"{self.key}.{n}".lstrip("."), _line(node))
            for n, node in enumerate(self.node.value, start=1)
        )

    def entries(self) -> dict[str, Spot]:
        """Return the places of a map by key, noting doubled keys; Unsound for anything else."""
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
        """Return the text under `key` of the map here, unchecked; empty where there is none."""
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

    def fields(self, required: tuple[str, ...], optional: tuple[str, ...] = ()) -> Fields:
        """Return the map here with its keys checked: unknown and missing ones are noted."""
        entries = self.entries()
        known = (*required, *optional)
        typos = set()
        for name, spot in entries.items():
            if name not in known:
                nearest = nearest_word(name, known)
                typos.add(nearest)
                spot.notes.add(
                    say("catalog.key.unknown"),
                    line=spot.line, key=spot.key, allowed=listed(known), nearest=nearest,
                )  # fmt: skip
        missing = {}
        for name in required:  # a misspelled key is one fault, not two
            if name not in entries and name not in typos:
                missing[name] = Missing(self.notes, self.notes.count)
                self.notes.add(
                    say("catalog.key.missing"), line=self.line, key=f"{self.key}.{name}".lstrip(".")
                )
        return Fields(entries, missing)


@dataclass(frozen=True, slots=True)
class Got(Generic[T]):
    """A value that was read, or the memory that it could not be."""

    _value: tuple[T] | None

    @property
    def sound(self) -> bool:
        """Whether there is a value."""
        return self._value is not None

    @property
    def value(self) -> T:
        """The value; raises Unsound where reading it failed (the fault is noted already)."""
        if self._value is None:
            raise Unsound
        return self._value[0]


@dataclass(frozen=True, slots=True)
class Missing:
    """A required key that is not there: its fault is the `nth` of `notes`."""

    notes: Notes
    nth: int


@dataclass(frozen=True, slots=True)
class Fields:
    """The entries of a map. One unsound value does not keep the others from being read."""

    entries: Mapping[str, Spot]
    missing: Mapping[str, Missing] = field(default_factory=dict)

    def get(self, key: str, read: Callable[[Spot], T]) -> Got[T]:
        """Return what `read` makes of the required entry `key`; a missing one gets its choices."""
        if key not in self.entries:
            gap = self.missing.get(key)
            if gap is not None and not gap.notes.trial:
                gap.notes.allow(gap.nth, allowed_by(read))
            return Got(None)
        return attempt(read, self.entries[key])

    def get_or(self, key: str, read: Callable[[Spot], T], default: T) -> Got[T]:
        """Return what `read` makes of the entry `key`, or `default` where there is none."""
        return self.get(key, read) if key in self.entries else Got((default,))


def attempt(read: Callable[[Spot], T], spot: Spot) -> Got[T]:
    """Return what `read` makes of `spot`, remembering a failure instead of raising it."""
    try:
        return Got((read(spot),))
    except Unsound:
        return Got(None)


TRIAL = "?"  # no value that anything asks for, and a text where any will do
_WORD = "tag:yaml.org,2002:str"
_MAP, _LIST = "tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"
_NOWHERE = yaml.Mark("", 0, 0, 0, None, 0)


def allowed_by(read: Callable[[Spot], object]) -> str | Message:
    """Return what `read` would take, as its own faults say it of nodes that are tried on it.

    A map is written `{low: …, high: …}`, a list `[…]`, the entries of a map by free names
    `{NAME: …}`.
    """
    text = yaml.ScalarNode(_WORD, TRIAL, _NOWHERE)
    empty = yaml.MappingNode(_MAP, [], _NOWHERE)
    name = yaml.ScalarNode(_WORD, "NAME", _NOWHERE)
    shapes: tuple[tuple[str, yaml.Node], ...] = (
        ("{}", text),
        ("{}", empty),
        ("[{}]", yaml.SequenceNode(_LIST, [text], _NOWHERE)),
        ("[{}]", yaml.SequenceNode(_LIST, [empty], _NOWHERE)),
        ("{{NAME: {}}}", yaml.MappingNode(_MAP, [(name, empty)], _NOWHERE)),
    )
    found = next((said for shape, node in shapes if (said := _said(read, shape, node))), None)
    if found is None:
        faults = _trial(read, text)
        found = faults[0].problem if faults else say("catalog.like.text")
    takes_null = not _trial(read, yaml.ScalarNode(NULL, "null", _NOWHERE))
    return say("catalog.like.or_null", allowed=found) if takes_null else found


def _said(read: Callable[[Spot], object], shape: str, node: yaml.Node) -> str | Message | None:
    faults = _trial(read, node)
    stated = next((fault.allowed for fault in faults if fault.allowed), None)
    if stated is not None:
        return shape.format(stated) if isinstance(stated, str) else stated
    keys = [f.key.split(".")[-1] for f in faults if f.problem.id == "catalog.key.missing"]
    return shape.format("{" + ", ".join(f"{key}: …" for key in keys) + "}") if keys else None


def _trial(read: Callable[[Spot], object], node: yaml.Node) -> tuple[Fault, ...]:
    notes = Notes("", trial=True)
    attempt(read, Spot(notes, node, "", 0))
    return notes.faults


def root(node: yaml.Node, notes: Notes) -> Spot:
    """Return the place of a file's outermost node."""
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
