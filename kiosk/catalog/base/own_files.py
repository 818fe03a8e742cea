"""The files that this program writes for people: known by how they begin, replaced only then."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from kiosk.catalog.base.files import OWNERS_ALONE, behind_links, write_whole
from kiosk.catalog.base.message import Message, say

GENERATOR = "press-station-kiosk"
LOOKED_AT = 1024  # bytes from the start, in which every kind is known


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: its first bytes, what stands soon after, and what people call it.

    `private`: it holds initials, and is for its owner alone.
    """

    called: Message
    begins: bytes
    holds: bytes = b""
    private: bool = False

    @property
    def maker(self) -> str:
        """What a page or picture of this kind names as its maker."""
        return self.holds.decode()


def _page(called: Message, what: str, private: bool) -> Kind:
    return Kind(called, b"<!doctype html>", f"{GENERATOR} {what}".encode(), private)


PLAN_PAGE = _page(say("catalog.own.plan_page"), "plan", private=False)
PICK_PAGE = _page(say("catalog.own.pick_page"), "picks", private=False)
REPORT_PAGE = _page(say("catalog.own.report_page"), "report", private=True)
PICTURE = Kind(say("catalog.own.picture"), b"\x89PNG\r\n\x1a\n", f"{GENERATOR} plan".encode())
GARMENTS = Kind(say("catalog.own.garments"), b"station,job,line,number,size,copy,", private=True)
TABLES = Kind(say("catalog.own.tables"), b"section,row,column,value\r\n", private=True)
EVENTS = Kind(say("catalog.own.events"), b'{"seq": 1, "kind": "', b'"boot": "', private=True)
COPY = Kind(say("catalog.own.copy"), b"SQLite format 3\0", private=True)

NAMED = (PICK_PAGE,)
"""Kinds that hold names of players where somebody asks for it."""


class NotOwn(Exception):
    """A file stands where one is to be written, and is of another kind; `message` says so."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


def must_be_own(path: Path, kind: Kind) -> None:
    """Raise NotOwn unless `path` is free, or a file of `kind` by its content.

    By whatever name it is called: links are followed. Raises OSError where it cannot be read.
    """
    there = behind_links(path)
    if there.exists() and not is_own(there, kind):
        raise NotOwn(say("catalog.own.other", path=str(path), kind=kind.called))


def is_own(path: Path, *kinds: Kind) -> bool:
    """Return whether a plain file of one of these kinds is at `path`. Raises OSError."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        start = file.read(LOOKED_AT)
    return any(start.startswith(kind.begins) and kind.holds in start for kind in kinds)


def must_be_free(path: Path, kind: Kind) -> None:
    """Raise NotOwn where anything stands at `path`: a copy of the record is never replaced."""
    if behind_links(path).exists():
        raise NotOwn(say("catalog.own.there", path=str(path), kind=kind.called))


def write_own(
    path: Path, kind: Kind, data: str | bytes | Iterable[bytes], names: bool = False
) -> None:
    """Write a file of `kind` whole, replacing one of its own kind only.

    `names`: it has names of players in it. Raises NotOwn, OSError; nothing is changed then.
    """
    must_be_own(path, kind)
    mode = OWNERS_ALONE if kind.private or names else None
    write_whole(path, data.encode() if isinstance(data, str) else data, mode)


def made_by(kind: Kind) -> str:
    """Return the element of an HTML page's head that makes it known as of `kind`."""
    return f'<meta name="generator" content="{kind.maker}">'
