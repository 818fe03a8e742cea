"""The tail beside a log's file, which has the last commits (sqlite.org/fileformat2.html)."""

from __future__ import annotations

import mmap
import struct
from pathlib import Path
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

    An absurdly long one is mapped instead, so that it does not fill the memory.
    """
    if not tail.is_file():
        return b""
    if tail.stat().st_size <= USUAL_BYTES:
        return tail.read_bytes()
    with tail.open("rb") as file:
        return mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
