"""Files: read whatever they are, written whole or not at all, known as this program's own."""

import errno
import json
import os
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

from kiosk.catalog.base.fresh import in_place_of
from kiosk.catalog.base.frozen import dataclass
from kiosk.catalog.base.notes import Message, Notes, nearest_word, say
from kiosk.catalog.base.system_faults import why_of

MOST_BYTES = 2_000_000


def read_bytes(path: Path, notes: Notes) -> bytes:
    """Return the content of the plain file `path`, at most MOST_BYTES.

    Raises Unsound, its fault noted, for a file that is missing, no plain file, not to be
    read, empty, too large or written to meanwhile; a large one is not read.
    """
    try:
        if not path.exists():
            raise notes.add(say("catalog.file.missing"), nearest=neighbour(path))
        if not path.is_file():  # a folder, a pipe or a device: opening it could wait for ever
            raise notes.add(say("catalog.file.not_plain"))
        with path.open("rb") as file:
            before = os.fstat(file.fileno())
            data = file.read(MOST_BYTES + 1)
            after = os.fstat(file.fileno())
    except PermissionError as error:
        raise notes.add(say("catalog.file.closed")) from error
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        raise notes.add(say("catalog.file.unreadable", why=why_of(error))) from error
    if len(data) > MOST_BYTES:
        raise notes.add(say("catalog.file.too_large", megabytes=MOST_BYTES // 1_000_000))
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns):
        raise notes.add(say("catalog.file.changing"))  # half of it may be the old one
    if not data.strip():
        raise notes.add(say("catalog.file.empty"))
    return data


def read_text(path: Path, notes: Notes) -> str:
    """Return the UTF-8 text of `path`, a byte order mark taken off.

    Raises Unsound, its fault noted, as `read_bytes` does, and for what is no UTF-8 text.
    """
    data = read_bytes(path, notes)
    if b"\0" in data:
        raise notes.add(say("catalog.file.binary"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise notes.add(say("catalog.file.not_utf8"), line=line) from error


def surely(asked: Callable[[], bool]) -> bool:
    """Return what is asked of a path, such as `path.is_file`; False where the system refuses."""
    try:
        return asked()
    except (OSError, ValueError):  # in a closed folder, a name too long; a NUL in it
        return False


def matching(folder: Path, pattern: str) -> tuple[Path, ...]:
    """Return the paths in a folder that fit a pattern, sorted; none where it is not reached."""
    with suppress(OSError):  # closed to whoever asks, or a share that is down
        return tuple(sorted(folder.glob(pattern)))
    return ()


def closed(folder: Path) -> Message | None:
    """Return why a folder that is there cannot be read; None where it can, or there is none."""
    try:
        os.scandir(folder).close()
    except FileNotFoundError:
        return None
    except OSError as error:
        return unreadable_folder(error)
    return None


def unreadable_folder(error: OSError) -> Message:
    """Return that a folder cannot be read, and why."""
    return say("catalog.folder.unreadable", why=why_of(error))


def neighbour(path: Path) -> str:
    """Return the name of a file of the same kind beside `path` that its name is most like."""
    if not path.parent.is_dir():
        return ""
    names = [p.stem for p in path.parent.iterdir() if p.suffix == path.suffix and p != path]
    near = nearest_word(path.stem, names)  # endings are alike, and would make all names so
    return near and near + path.suffix


OWNERS_ALONE = 0o600


def write_whole(path: Path, data: bytes | Iterable[bytes], mode: int | None = None) -> None:
    """Put `data` at `path`: on disk under another name first, then renamed.

    What comes in parts is written as it comes. A link stays one: the file it leads to is
    replaced. `mode` are the new file's rights; without, those of the file before. Raises OSError,
    or what the parts raise; nothing is changed then.
    """
    parts = (data,) if isinstance(data, bytes) else data
    path = behind_links(path)
    if mode is None:
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o644
    with in_place_of(path, mode) as (_, descriptor), os.fdopen(descriptor, "wb") as file:
        file.writelines(parts)
        file.flush()
        os.fsync(file.fileno())
    sync_folder(path.parent)


def behind_links(path: Path) -> Path:
    """Return the file that `path` leads to. Raises OSError for links in a ring."""
    try:
        behind = path.resolve()
    except RuntimeError as ring:  # so Python before 3.13; from then on it stops there, unsaid
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from ring
    try:
        behind.stat()
    except OSError as error:
        if error.errno == errno.ELOOP:
            raise
    return behind


def stamp_of(path: Path) -> tuple[int, int] | None:
    """Return when a file was changed, nanoseconds, and its bytes; None where it is not reached."""
    try:
        now = path.stat()
    except OSError:  # not there, or a link that leads nowhere
        return None
    return now.st_mtime_ns, now.st_size


def sync_folder(folder: Path) -> None:
    """Put the new name on disk too, where a folder can be opened for that."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


MOST_SIDE_BYTES = 64_000


class BrokenSideFile(ValueError):
    """Something stands at the path that is no such file; the text says why."""


def read_side_file(path: Path, most_bytes: int = MOST_SIDE_BYTES) -> dict[str, Any]:
    """Return the JSON object that is in the plain file `path`.

    Raises FileNotFoundError where there is nothing, BrokenSideFile for anything else: a folder, a
    pipe, links in a ring, more than `most_bytes`, nested too deep, no JSON, no object.
    """
    try:
        if not path.is_file():
            if path.exists() or path.is_symlink():
                raise BrokenSideFile("no plain file")
            raise FileNotFoundError(path)
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        raise
    except OSError as problem:
        raise BrokenSideFile(why_of(problem)) from problem
    if len(data) > most_bytes:
        raise BrokenSideFile(f"more than {most_bytes} bytes")
    return _object(data)


def _object(data: bytes) -> dict[str, Any]:
    try:
        found = json.loads(data)
    except (ValueError, RecursionError) as problem:
        raise BrokenSideFile("no JSON") from problem
    if not isinstance(found, dict):
        raise BrokenSideFile("no JSON object")
    return found


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
PROOF_PAGE = _page(say("catalog.own.proof_page"), "proof", private=True)
REPORT_PAGE = _page(say("catalog.own.report_page"), "report", private=True)
PICTURE = Kind(say("catalog.own.picture"), b"\x89PNG\r\n\x1a\n", f"{GENERATOR} plan".encode())
GARMENTS = Kind(say("catalog.own.garments"), b"station,job,line,number,size,copy,", private=True)
TABLES = Kind(say("catalog.own.tables"), b"section,row,column,value\r\n", private=True)
EVENTS = Kind(say("catalog.own.events"), b'{"seq": 1, "kind": "', b'"boot": "', private=True)
COPY = Kind(say("catalog.own.copy"), b"SQLite format 3\0", private=True)

NAMED = (PICK_PAGE, PROOF_PAGE)
"""Kinds that hold names of players: a proof always, a pick list where somebody asks for it."""


class NotOwn(Exception):
    """A file stands where one is to be written, and is of another kind; `message` says so."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


def must_be_own(path: Path, kind: Kind) -> None:
    """Raise NotOwn unless what `path` leads to is of `kind`, or free; OSError where unreadable."""
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


def html_head(kind: Kind, language: str, title: str, style: str) -> str:
    """Return the beginning of a page of our own up to its body; `title` is escaped text."""
    from html import escape  # a start writes no page

    return (
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="generator" content="{kind.maker}">\n'
        f"<title>{title}</title>\n<style>{style}</style>\n</head>\n<body>"
    )
