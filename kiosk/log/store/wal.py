"""The tail (WAL) that SQLite keeps beside a log's file, and its index, read without SQLite."""

import mmap
import os
import struct
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import NamedTuple

PAGE = 4096  # page size of every log
USUAL_BYTES = 256_000_000  # SQLite folds a tail into the file every 4 MB
_HEADER, _FRAME_HEADER = 32, 24


class WalFrame(NamedTuple):
    """A page in the tail; `ends` if it is the last of a commit."""

    number: int
    ends: bool
    page: bytes


def salt_of(tail: Path) -> tuple[bytes, bool]:
    """Return the salt of the tail's frames, and whether the tail's header is valid.

    If it is not, the salt is that of the first frame.
    """
    content = _read(tail)
    holds = len(content) >= _HEADER and _sum(content[:24]) == content[24:32]
    return (content[16:24] if holds else content[40:48]), holds


def committed(tail: Path, salt: bytes) -> list[WalFrame]:
    """Return the frames of the tail with this salt, up to the last commit among them."""
    content, frames = _read(tail), []
    for start in range(_HEADER, len(content) - PAGE - _FRAME_HEADER + 1, PAGE + _FRAME_HEADER):
        number, size = struct.unpack_from(">II", content, start)
        if number and content[start + 8 : start + 16] == salt:  # there is no page 0
            body = start + _FRAME_HEADER
            frames.append(WalFrame(number, size > 0, content[body : body + PAGE]))
    while frames and not frames[-1].ends:
        frames.pop()
    return frames


INDEXES = 64  # indexes kept open: more logs than anybody reads at once
_indexes: dict[Path, int] = {}  # open file descriptors, the most recently used last
_one_at_a_time = Lock()


def start_of_index(file: Path, size: int) -> bytes:
    """Return the first bytes of a tail's index, b"" if there is none.

    The index stays open here. Closing it would release every lock that SQLite holds on it for this
    process (sqlite.org/howtocorrupt.html, 2.2), and a station starting then would rebuild the index
    while others read it. One no longer at its path cannot be in use elsewhere, and is closed.
    """
    with _one_at_a_time:
        index = _indexes.pop(file, None)
        if index is not None and not _is_at_path(index, file):
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
    return os.open(file, os.O_RDONLY | getattr(os, "O_BINARY", 0))  # Windows reads text otherwise


def _is_at_path(index: int, file: Path) -> bool:
    with suppress(OSError):
        return os.path.samestat(os.fstat(index), file.stat())
    return False


def _sum(header: bytes) -> bytes:
    """Return the checksum of a tail's header; the lowest bit of its magic gives the byte order."""
    words = struct.unpack(f"{'>' if header[3] & 1 else '<'}6I", header)
    first = second = 0
    for one, two in zip(words[::2], words[1::2], strict=True):
        first = (first + one + second) & 0xFFFFFFFF
        second = (second + two + first) & 0xFFFFFFFF
    return struct.pack(">II", first, second)


def _read(tail: Path) -> bytes | mmap.mmap:
    """Return the content as of one moment, since a station may be writing it.

    A very long tail is memory-mapped instead, up to the last byte written.
    """
    if not tail.is_file():
        return b""
    if tail.stat().st_size <= USUAL_BYTES:
        return tail.read_bytes()
    with tail.open("rb") as file:
        written = _written(file.fileno())
        return mmap.mmap(file.fileno(), written, access=mmap.ACCESS_READ) if written else b""


def _written(file: int) -> int:
    """Return the offset of a file's last hole in bytes: nothing was written after it."""
    end = 0
    with suppress(OSError):  # ENXIO: nothing is written after `end`
        while True:
            end = os.lseek(file, os.lseek(file, end, os.SEEK_DATA), os.SEEK_HOLE)
    return end
