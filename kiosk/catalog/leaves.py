"""The single values of a YAML text, by key path, and putting another one in place of one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from kiosk.catalog.notes import Notes, Unsound
from kiosk.catalog.tree import LOADER, compose

Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A value as written, `start` to `end` its place in the text (characters from 0)."""

    value: str
    start: int
    end: int


def leaves(text: str) -> dict[Path, Leaf]:
    """Return the single values by path (list places from 1); none where it is no YAML."""
    # The reader in C counts bytes in some releases; places have to be those of characters.
    return _leaves(text, yaml.SafeLoader)


def values(text: str) -> dict[Path, str]:
    """Return what `leaves` does without the places, about ten times faster."""
    return {path: leaf.value for path, leaf in _leaves(text, LOADER).items()}


def with_value(text: str, path: Path, value: str) -> str:
    """Return `text` with `value` in place of the leaf at `path`; all the rest stays as it is.

    Raises KeyError where there is no such leaf.
    """
    leaf = leaves(text)[path]
    return text[: leaf.start] + value + text[leaf.end :]


def _leaves(text: str, loader: Any) -> dict[Path, Leaf]:
    try:
        compose(text, Notes(""))  # refuses what is deep, endless or refers to itself
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
    """Return `text` with `key: value` in the map at `path`, in place of what `key` had before.

    `value` is YAML on one line. Comments and all the rest stay. Raises KeyError where there is
    no such map.
    """
    node = yaml.compose(text, Loader=yaml.SafeLoader)
    for part in path:
        node = next((v for k, v in _pairs(node) if str(k.value) == part), None)
    pairs = _pairs(node)
    if node is None or not pairs:
        raise KeyError(path)
    for known, old in pairs:
        if str(known.value) == key:
            return f"{text[: known.end_mark.index]}: {value}{text[_end(old) :]}"
    end = _end(node)
    if _is_flow(node):
        return f"{text[: end - 1]}, {key}: {value}{text[end - 1 :]}"
    at = text.find("\n", end)
    at = len(text) if at < 0 else at
    indent = " " * pairs[0][0].start_mark.column
    return f"{text[:at]}\n{indent}{key}: {value}{text[at:]}"


def _pairs(node: yaml.Node | None) -> list[tuple[yaml.Node, yaml.Node]]:
    return node.value if isinstance(node, yaml.MappingNode) else []


def _is_flow(node: yaml.Node) -> bool:
    return isinstance(node, yaml.CollectionNode) and bool(node.flow_style)


def _end(node: yaml.Node) -> int:
    """Where a node ends, without the comments and empty lines behind it."""
    if not isinstance(node, yaml.CollectionNode) or _is_flow(node) or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(last[1] if isinstance(last, tuple) else last)
