"""Turns YAML text into nodes, refusing what a recipe never needs."""

from __future__ import annotations

from collections.abc import Iterator

import yaml

from kiosk.catalog.message import say
from kiosk.catalog.notes import Notes, Unsound, shown

MOST_NODES = 50_000
DEEPEST = 20
# The C parser reads the same language about ten times faster; a PyYAML without it is no fault.
LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_OPENING = (yaml.MappingStartEvent, yaml.SequenceStartEvent)
_CLOSING = (yaml.MappingEndEvent, yaml.SequenceEndEvent)


def compose(text: str, notes: Notes) -> yaml.Node:
    """Return the one document of `text` as nodes with their places; nothing is constructed.

    Aliases, tags, a second document, more than DEEPEST levels and more than MOST_NODES
    values are refused before a node is built. Raises Unsound with the faults noted.
    """
    try:
        _look_over(text, notes)
        node = yaml.compose(text, Loader=LOADER)
    except yaml.YAMLError as error:
        raise notes.add(
            say("catalog.yaml.broken", why=_reason(error)), line=_line(error, text)
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
            raise notes.add(say("catalog.yaml.deep", levels=DEEPEST), line=_at(event))
        if count > MOST_NODES:
            raise notes.add(say("catalog.yaml.many", most=MOST_NODES), line=_at(event))
        if documents > 1:
            raise notes.add(say("catalog.yaml.second"), line=_at(event))
        _refuse_tricks(event, notes)
    if len(notes.faults) > before:
        raise Unsound


def _events(text: str) -> Iterator[yaml.Event]:
    # yaml.parse is untyped; everything it yields is an Event
    yield from yaml.parse(text, Loader=LOADER)


def _refuse_tricks(event: yaml.Event, notes: Notes) -> None:
    if isinstance(event, yaml.AliasEvent):
        notes.add(say("catalog.yaml.alias"), line=_at(event), found=f"*{event.anchor}")
        return
    tag = getattr(event, "tag", None)
    if tag:
        notes.add(say("catalog.yaml.tag"), line=_at(event), found=str(tag))


def _at(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 0


def _reason(error: yaml.YAMLError) -> str:
    return shown(str(getattr(error, "problem", None) or getattr(error, "reason", None) or ""))


def _line(error: yaml.YAMLError, text: str) -> int:
    mark = getattr(error, "problem_mark", None)
    if mark is not None:
        return int(mark.line) + 1
    place = getattr(error, "position", None)
    return text.count("\n", 0, place) + 1 if isinstance(place, int) else 0
