"""Files: read safely, written whole or not at all, and recognised as this program's own."""

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

    Raises Unsound, its fault noted, if the file is missing, not a plain file, unreadable,
    empty, too large, or written to while it is read.
    """
    try:
        if not path.exists():
            raise notes.add(say("catalog.file.missing"), nearest=neighbour(path))
        if not path.is_file():  # a folder, a pipe or a device: opening it could block for ever
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
        raise notes.add(say("catalog.file.changing"))  # we may have half old, half new
    if not data.strip():
        raise notes.add(say("catalog.file.empty"))
    return data


def read_text(path: Path, notes: Notes) -> str:
    """Return the UTF-8 text of `path` without a byte order mark.

    Raises Unsound, its fault noted, as `read_bytes` does, and if the file is not UTF-8 text.
    """
    data = read_bytes(path, notes)
    if b"\0" in data:
        raise notes.add(say("catalog.file.binary"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise notes.add(say("catalog.file.not_utf8"), line=line) from error


def surely(test: Callable[[], bool]) -> bool:
    """Return the answer of a path test such as `path.is_file`, or False if the system refuses."""
    try:
        return test()
    except (OSError, ValueError):  # in a closed folder, or a name too long or with a NUL
        return False


def matching(folder: Path, pattern: str) -> tuple[Path, ...]:
    """Return the paths in a folder that match a pattern, sorted; none if it is out of reach."""
    with suppress(OSError):  # no permission, or a share that is down
        return tuple(sorted(folder.glob(pattern)))
    return ()


def folder_problem(folder: Path) -> Message | None:
    """Return why an existing folder cannot be read, or None if it can or does not exist."""
    try:
        os.scandir(folder).close()
    except FileNotFoundError:
        return None
    except OSError as error:
        return unreadable_folder(error)
    return None


def unreadable_folder(error: OSError) -> Message:
    """Return the message that a folder cannot be read, and why."""
    return say("catalog.folder.unreadable", why=why_of(error))


def neighbour(path: Path) -> str:
    """Return the file beside `path` with the same suffix and the most similar name, or ""."""
    if not path.parent.is_dir():
        return ""
    names = [p.stem for p in path.parent.iterdir() if p.suffix == path.suffix and p != path]
    near = nearest_word(path.stem, names)  # equal suffixes would make all names look similar
    return near and near + path.suffix


OWNERS_ALONE = 0o600


def write_whole(path: Path, data: bytes | Iterable[bytes], mode: int | None = None) -> None:
    """Write `data` to `path`: to disk under another name first, then renamed.

    Parts are written as they come. A link stays a link: the file it leads to is replaced. `mode`
    is the new file's permissions; by default those of the old file. Raises OSError, or what the
    parts raise; the old file is then unchanged.
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
    except RuntimeError as ring:  # Python before 3.13; later ones return without an error
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP), str(path)) from ring
    try:
        behind.stat()
    except OSError as error:
        if error.errno == errno.ELOOP:
            raise
    return behind


def stamp_of(path: Path) -> tuple[int, int] | None:
    """Return a file's modification time in nanoseconds and its size, or None if out of reach."""
    try:
        status = path.stat()
    except OSError:  # not there, or a link that leads nowhere
        return None
    return status.st_mtime_ns, status.st_size


def sync_folder(folder: Path) -> None:
    """Flush a folder to disk, so that a new name in it lasts; skipped if it cannot be opened."""
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


MOST_SIDE_BYTES = 64_000


class BrokenSideFile(ValueError):
    """The path holds something other than a side file; the text says why."""


def read_side_file(path: Path, most_bytes: int = MOST_SIDE_BYTES) -> dict[str, Any]:
    """Return the JSON object in the plain file `path`.

    Raises FileNotFoundError if there is nothing, BrokenSideFile for anything else: a folder, a
    pipe, a ring of links, more than `most_bytes`, nested too deep, not JSON, not an object.
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
HEAD_BYTES = 1024  # bytes from the start, enough to recognise every kind


@dataclass(frozen=True, slots=True)
class FileKind:
    """A kind of file: its name for people, its first bytes, and a mark soon after them.

    `private`: it holds initials, so only its owner may read it.
    """

    title: Message
    start: bytes
    mark: bytes = b""
    private: bool = False

    @property
    def maker(self) -> str:
        """The text by which a page or picture of this kind names its maker."""
        return self.mark.decode()


def _page(title: Message, word: str, private: bool) -> FileKind:
    return FileKind(title, b"<!doctype html>", f"{GENERATOR} {word}".encode(), private)


PLAN_PAGE = _page(say("catalog.own.plan_page"), "plan", private=False)
PICK_PAGE = _page(say("catalog.own.pick_page"), "picks", private=False)
PROOF_PAGE = _page(say("catalog.own.proof_page"), "proof", private=True)
REPORT_PAGE = _page(say("catalog.own.report_page"), "report", private=True)
PICTURE = FileKind(say("catalog.own.picture"), b"\x89PNG\r\n\x1a\n", f"{GENERATOR} plan".encode())
GARMENTS = FileKind(
    say("catalog.own.garments"), b"station,job,line,number,size,copy,", private=True
)
TABLES = FileKind(say("catalog.own.tables"), b"section,row,column,value\r\n", private=True)
EVENTS = FileKind(say("catalog.own.events"), b'{"seq": 1, "kind": "', b'"boot": "', private=True)
COPY = FileKind(say("catalog.own.copy"), b"SQLite format 3\0", private=True)

KINDS_WITH_NAMES = (PICK_PAGE, PROOF_PAGE)
"""Kinds that hold players' names: a proof always, a pick list only on request."""


class NotOurFile(Exception):
    """A file that must not be replaced is at the path to write; `message` says so."""

    def __init__(self, message: Message) -> None:
        super().__init__(message.id)
        self.message = message


def must_be_own(path: Path, kind: FileKind) -> None:
    """Raise NotOurFile if `path` leads to a file of another kind; OSError if it is unreadable."""
    target = behind_links(path)
    if target.exists() and not is_own(target, kind):
        raise NotOurFile(say("catalog.own.other", path=str(path), kind=kind.title))


def is_own(path: Path, *kinds: FileKind) -> bool:
    """Return whether `path` is a plain file of one of these kinds. Raises OSError."""
    if not path.is_file():
        return False
    with path.open("rb") as file:
        head = file.read(HEAD_BYTES)
    return any(head.startswith(kind.start) and kind.mark in head for kind in kinds)


def must_be_free(path: Path, kind: FileKind) -> None:
    """Raise NotOurFile if anything exists at `path`: a copy of the record is never replaced."""
    if behind_links(path).exists():
        raise NotOurFile(say("catalog.own.there", path=str(path), kind=kind.title))


def write_own(
    path: Path, kind: FileKind, data: str | bytes | Iterable[bytes], names: bool = False
) -> None:
    """Write a whole file of `kind`; it may replace only a file of the same kind.

    `names`: it holds players' names. Raises NotOurFile or OSError; nothing is then changed.
    """
    must_be_own(path, kind)
    mode = OWNERS_ALONE if kind.private or names else None
    write_whole(path, data.encode() if isinstance(data, str) else data, mode)


def html_head(kind: FileKind, language: str, title: str, style: str) -> str:
    """Return the beginning of an HTML page, up to its body; `title` must be escaped already."""
    from html import escape  # not needed at start

    return (
        f'<!doctype html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f'<meta name="generator" content="{kind.maker}">\n'
        f"<title>{title}</title>\n<style>{style}</style>\n</head>\n<body>"
    )
