"""The tail that SQLite keeps beside a log's file, and its index, read without SQLite."""

import mmap
import os
import struct
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import NamedTuple

PAGE = 4096  # every log is made with pages of this size
USUAL_BYTES = 256_000_000  # SQLite folds a tail into the file every 4 MB
_HEADER, _FRAME_HEADER = 32, 24


class Frame(NamedTuple):
    """A page in the tail beside the file; `ends` where it is the last of a commit."""

    number: int
    ends: bool
    page: bytes


def salt_of(tail: Path) -> tuple[bytes, bool]:
    """Return the salt of the tail's frames, and whether the tail's header holds good.

    Where it does not, the salt is that of the first frame.
    """
    content = _read(tail)
    holds = len(content) >= _HEADER and _sum(content[:24]) == content[24:32]
    return (content[16:24] if holds else content[40:48]), holds


def committed(tail: Path, salt: bytes) -> list[Frame]:
    """Return the frames of the tail with this salt, up to the last commit among them."""
    content, frames = _read(tail), []
    for start in range(_HEADER, len(content) - PAGE - _FRAME_HEADER + 1, PAGE + _FRAME_HEADER):
        number, size = struct.unpack_from(">II", content, start)
        if number and content[start + 8 : start + 16] == salt:  # there is no page 0
            body = start + _FRAME_HEADER
            frames.append(Frame(number, size > 0, content[body : body + PAGE]))
    while frames and not frames[-1].ends:
        frames.pop()
    return frames


INDEXES = 64  # so many stay open: more logs than anybody reads at once
_indexes: dict[Path, int] = {}  # the open file of each, the one looked at last at the end
_one_at_a_time = Lock()


def start_of_index(file: Path, size: int) -> bytes:
    """Return the first bytes of a tail's index, b"" where there is none.

    It stays open here: closing it would give up every lock that SQLite holds on it for this
    process (sqlite.org/howtocorrupt.html, 2.2), and a station that starts then would make the
    index anew under whoever reads. One that is no longer at its path nobody else can meet.
    """
    with _one_at_a_time:
        index = _indexes.pop(file, None)
        if index is not None and not _stands(index, file):
            os.close(index)
            index = None
        try:
            _indexes[file] = index = _opened(file) if index is None else index
        except FileNotFoundError:
            return b""
        if len(_indexes) > INDEXES:
            os.close(_indexes.pop(next(iter(_indexes))))
        os.lseek(index, 0, os.SEEK_SET)
        return os.read(index, size)


def _opened(file: Path) -> int:
    return os.open(file, os.O_RDONLY | getattr(os, "O_BINARY", 0))  # Windows reads text else


def _stands(index: int, file: Path) -> bool:
    with suppress(OSError):
        return os.path.samestat(os.fstat(index), file.stat())
    return False


def _sum(header: bytes) -> bytes:
    """Return the checksum of a tail's header; the lowest bit of its magic names the byte order."""
    words = struct.unpack(f"{'>' if header[3] & 1 else '<'}6I", header)
    first = second = 0
    for one, two in zip(words[::2], words[1::2], strict=True):
        first = (first + one + second) & 0xFFFFFFFF
        second = (second + two + first) & 0xFFFFFFFF
    return struct.pack(">II", first, second)


def _read(tail: Path) -> bytes | mmap.mmap:
    """Return the content: as of one moment, for a station may be writing it.

    An absurdly long one is mapped instead, so that it does not fill the memory, and only as far
    as something was written.
    """
    if not tail.is_file():
        return b""
    if tail.stat().st_size <= USUAL_BYTES:
        return tail.read_bytes()
    with tail.open("rb") as file:
        written = _written(file.fileno())
        return mmap.mmap(file.fileno(), written, access=mmap.ACCESS_READ) if written else b""


def _written(file: int) -> int:
    """Return where the last hole of a file begins, bytes: behind it are zeros and no page."""
    end = 0
    with suppress(OSError):  # ENXIO: nothing is written behind `end`
        while True:
            end = os.lseek(file, os.lseek(file, end, os.SEEK_DATA), os.SEEK_HOLE)
    return end
