"""Writes the files that a command was asked for: all are looked at before the first is made."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.base import Kind, NotOwn, behind_links, must_be_free, must_be_own, say, write_own
from kiosk.catalog.roster import note_named_file
from kiosk.commands.codes import DONE, FAULTS, USAGE
from kiosk.words import Words


@dataclass(frozen=True, slots=True)
class Output:
    """A file that is asked for; `names_of` is the folder of the job whose names are in it."""

    path: Path
    kind: Kind
    names_of: Path | None = None


def looked_at(outputs: Iterable[Output], words: Words) -> int:
    """Return DONE where every file can be written, else print what stands there: 2, or 1."""
    places: set[Path] = set()

    def look() -> None:
        for each in outputs:
            must_be_own(each.path, each.kind)
            place = behind_links(each.path)
            if place in places:
                raise NotOwn(say("command.twice", path=str(each.path)))
            places.add(place)

    return _told(look, words)


def is_free(output: Output, words: Words) -> int:
    """Return DONE where nothing stands at the output's path, else print what: 2, or 1."""
    return _told(lambda: must_be_free(output.path, output.kind), words, output.path)


def written(output: Output, made: Callable[[], str | bytes | Iterable[bytes]], words: Words) -> int:
    """Write the file; return DONE, or 2 or 1 once it was said why it cannot be."""

    def write() -> None:
        content = made()
        if output.names_of is not None:  # first: a file that nothing knows of would stay for ever
            note_named_file(output.names_of, output.path)
        write_own(output.path, output.kind, content, output.names_of is not None)

    return _told(write, words, output.path)


def _told(act: Callable[[], None], words: Words, path: Path | None = None) -> int:
    try:
        act()
    except NotOwn as problem:
        print(words.say(problem.message), file=sys.stderr)
        return USAGE
    except OSError as problem:
        why = problem.strerror or type(problem).__name__
        named = str(path or problem.filename or "")
        print(words("command.cannot_write", path=named, why=why), file=sys.stderr)
        return FAULTS
    return DONE
