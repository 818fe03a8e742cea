"""YAML text: composed into nodes, read value by value, and edited in place."""

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Any

import yaml

from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Message, Notes, Unsound, one_line, say

MOST_NODES = 50_000
DEEPEST = 20
# The C parser reads the same language about ten times faster; not every PyYAML has it.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_OPENING = (yaml.MappingStartEvent, yaml.SequenceStartEvent)
_CLOSING = (yaml.MappingEndEvent, yaml.SequenceEndEvent)


def compose(text: str, notes: Notes) -> yaml.Node:
    """Return the one document of `text` as nodes with their places; no objects are constructed.

    Aliases, tags, a second document, more than DEEPEST levels and more than MOST_NODES
    values are refused before a node is built. Raises Unsound, with the faults noted.
    """
    try:
        _look_over(text, notes)
        node = yaml.compose(text, Loader=LOADER)
    except yaml.YAMLError as error:
        raise notes.add(
            say("catalog.yaml.broken", why=_reason(error, text)), line=_line(error, text)
        ) from error
    if node is None:
        raise notes.add(say("catalog.file.empty"))
    return node


def _look_over(text: str, notes: Notes) -> None:
    before = len(notes.faults)
    depth = documents = 0
    for count, event in enumerate(_events(text)):
        depth += isinstance(event, _OPENING) - isinstance(event, _CLOSING)
        documents += isinstance(event, yaml.DocumentStartEvent)
        if depth > DEEPEST:
            raise notes.add(say("catalog.yaml.deep", levels=DEEPEST), line=_event_line(event))
        if count > MOST_NODES:
            raise notes.add(say("catalog.yaml.many", most=MOST_NODES), line=_event_line(event))
        if documents > 1:
            raise notes.add(say("catalog.yaml.second"), line=_event_line(event))
        _refuse_tricks(event, notes)
    if len(notes.faults) > before:
        raise Unsound


def _events(text: str) -> Iterator[yaml.Event]:
    # yaml.parse is untyped; everything it yields is an Event
    yield from yaml.parse(text, Loader=LOADER)


def _refuse_tricks(event: yaml.Event, notes: Notes) -> None:
    if isinstance(event, yaml.AliasEvent):
        notes.add(say("catalog.yaml.alias"), line=_event_line(event), found=f"*{event.anchor}")
        return
    tag = getattr(event, "tag", None)
    if tag:
        notes.add(say("catalog.yaml.tag"), line=_event_line(event), found=str(tag))


def _event_line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 0


_WHY = (
    ("tab|\\\\t", "catalog.yaml.why.tab"),
    ("mapping values", "catalog.yaml.why.key"),
    ("expected '?,' or", "catalog.yaml.why.bracket"),
    ("expected (key|'-' indicator|<block end>)", "catalog.yaml.why.column"),
    ("end of stream", "catalog.yaml.why.quote"),
    ("cannot start any token|unknown escape", "catalog.yaml.why.sign"),
    ("(control|special) characters", "catalog.yaml.why.control"),
)
"""Patterns in the messages of the C and Python parsers, and the advice for each."""


def _reason(error: yaml.YAMLError, text: str) -> Message | str:
    """Return why it cannot be read, with advice for known errors, else the parser's own words."""
    why = str(getattr(error, "problem", None) or getattr(error, "reason", None) or "")
    if "\t" in _indent(text, _line(error, text)):
        return say("catalog.yaml.why.tab")
    found = next((id_ for pattern, id_ in _WHY if re.search(pattern, why)), "")
    return say(found) if found else one_line(why)


def _indent(text: str, line: int) -> str:
    """Return the blanks at the beginning of a line, which is counted from 1."""
    lines = text.splitlines()
    own = lines[line - 1] if 0 < line <= len(lines) else ""
    return own[: len(own) - len(own.lstrip())]


def _line(error: yaml.YAMLError, text: str) -> int:
    mark = getattr(error, "problem_mark", None)
    if "quoted" in str(getattr(error, "context", None)):  # where the quotes were opened
        mark = getattr(error, "context_mark", None) or mark
    if mark is not None:
        return int(mark.line) + 1
    place = getattr(error, "position", None)
    return text.count("\n", 0, place) + 1 if isinstance(place, int) else 0


Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A value, and its place in the text: `start` to `end`, in characters from 0."""

    value: str
    start: int
    end: int


def leaves(text: str) -> dict[Path, Leaf]:
    """Return the single values by path (list places from 1), or none if it is not YAML."""
    # Some releases of the C parser count bytes; places must be in characters.
    return dict(_leaves(text, yaml.SafeLoader))


def values_by_path(text: str) -> dict[Path, str]:
    """Return the values that `leaves` returns, without places, about ten times faster."""
    return {path: leaf.value for path, leaf in _leaves(text, LOADER).items()}


def with_value(text: str, path: Path, value: str) -> str:
    """Return `text` with `value` at `path` and the rest unchanged. Raises KeyError if no leaf."""
    leaf = leaves(text)[path]
    return text[: leaf.start] + value + text[leaf.end :]


@lru_cache(maxsize=64)  # a page asks at each touch, the start for all shop files
def _leaves(text: str, loader: Any) -> Mapping[Path, Leaf]:
    try:
        compose(text, Notes(""))  # refuses deep, endless or self-referring documents
        node = yaml.compose(text, Loader=loader)
    except (yaml.YAMLError, Unsound):
        return {}
    return {} if node is None else dict(_below(node, ()))


def _below(node: yaml.Node, path: Path) -> Iterator[tuple[Path, Leaf]]:
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _below(value, (*path, str(key.value)))
    elif isinstance(node, yaml.SequenceNode):
        for place, item in enumerate(node.value, 1):
            yield from _below(item, (*path, str(place)))
    elif isinstance(node, yaml.ScalarNode):
        yield path, Leaf(str(node.value), node.start_mark.index, node.end_mark.index)


def with_entry(text: str, path: Path, key: str, value: str) -> str:
    """Return `text` with `key: value` in the map at `path`, replacing the old value of `key`.

    `value` is YAML on one line. Comments and everything else stay. Raises KeyError if there is
    no such map.
    """
    node = yaml.compose(text, Loader=yaml.SafeLoader)
    for part in path:
        node = next((v for k, v in _pairs(node) if str(k.value) == part), None)
    pairs = _pairs(node)
    if node is None or not pairs:
        raise KeyError(path)
    for existing, old in pairs:
        if str(existing.value) == key:
            return f"{text[: existing.end_mark.index]}: {value}{text[_end(old) :]}"
    end = _end(node)
    if _is_flow(node):
        return f"{text[: end - 1]}, {key}: {value}{text[end - 1 :]}"
    place = text.find("\n", end)
    place = len(text) if place < 0 else place
    indent = " " * pairs[0][0].start_mark.column
    return f"{text[:place]}\n{indent}{key}: {value}{text[place:]}"


def with_block(text: str, path: Path, key: str, lines: Iterable[str]) -> str:
    """Return `text` with a new `key` at the end of the map at `path`, its `lines` below it.

    A missing map is added. Comments and everything else stay. Raises KeyError if the map is
    written in braces, since it has no lines of its own.
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    node, block = root, [f"{key}:", *(f"  {line}" for line in lines)]
    for part in path:
        node = next((v for k, v in _pairs(node) if str(k.value) == part), None)
    pairs, newline = _pairs(node), "\r\n" if "\r\n" in text else "\n"
    if not pairs and path:
        return with_block(text, path[:-1], path[-1], block)
    if not pairs:
        return newline.join((*([text.rstrip(), ""] if text.strip() else []), *block, ""))
    if node is None or _is_flow(node):
        raise KeyError(path)
    indent = " " * pairs[0][0].start_mark.column
    behind = re.compile(rf"[^\n]*(?:\n{indent}[ \t]+#[^\n]*)*")  # the last entry's comments
    found = behind.match(text, _end(node))
    place = found.end() if found else len(text)
    place -= text[:place].endswith("\r")
    gap = "" if path else newline
    added = newline.join(indent + each for each in block)
    return f"{text[:place]}{newline}{gap}{added}{text[place:] or newline}"


def _pairs(node: yaml.Node | None) -> list[tuple[yaml.Node, yaml.Node]]:
    return node.value if isinstance(node, yaml.MappingNode) else []


def _is_flow(node: yaml.Node) -> bool:
    return isinstance(node, yaml.CollectionNode) and bool(node.flow_style)


def _end(node: yaml.Node) -> int:
    """Return where a node ends, without the comments and empty lines after it."""
    if not isinstance(node, yaml.CollectionNode) or _is_flow(node) or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(last[1] if isinstance(last, tuple) else last)


def scalar(text: str) -> str:
    """Return a text as a YAML scalar, in quotes if it would be read as something else."""
    dumped: str = yaml.safe_dump(
        {"": text}, default_flow_style=True, allow_unicode=True, width=10**6
    )
    return dumped.strip()[1:-1].partition(": ")[2]


def flow(value: object) -> str:
    """Return a map on one line of YAML; its values must be YAML already."""
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{key}: {flow(each)}' for key, each in value.items())}}}"
    return str(value)
