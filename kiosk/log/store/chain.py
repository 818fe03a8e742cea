"""Where a log begins and ends, by digests; as programs and as people write it down."""

from __future__ import annotations

import re
from hashlib import sha256
from typing import NamedTuple, Self

SHORTEST = 8
"""Hexadecimal digits of a digest that are taken for it: fewer could fit by chance."""
_GROUPS = 4  # of four digits each: what a person writes down, 64 bits
_WRITTEN = re.compile(rf"(\d{{1,18}}):([0-9a-f]{{{SHORTEST},64}})")


class NoHead(ValueError):
    """A text that does not name an event and its digest."""


class Head(NamedTuple):
    """An event's number and its digest: all that the log held up to then.

    Of a written-down one the digest may be only its beginning.
    """

    seq: int
    digest: bytes

    @property
    def full(self) -> str:
        """The number and the whole digest, `1234:9f3a…`, for programs."""
        return f"{self.seq}:{self.digest.hex()}"

    @property
    def short(self) -> str:
        """The number and the digest's beginning in groups, for people."""
        text = self.digest.hex()
        return f"{self.seq}:" + "-".join(text[n * 4 : n * 4 + 4] for n in range(_GROUPS))

    @classmethod
    def read(cls, text: str) -> Self:
        """Return what `short` or `full` wrote, spaces and dashes as they come. Raises NoHead."""
        found = _WRITTEN.fullmatch(re.sub(r"[\s-]", "", text.lower()) if text[:1] != "-" else "")
        if found is None:
            raise NoHead(text)
        digits = found[2]
        return cls(int(found[1]), bytes.fromhex(digits[: len(digits) // 2 * 2]))

    def is_as(self, written: Head) -> bool:
        """Whether a written-down head, shortened or not, names this one."""
        return self.seq == written.seq and self.digest.startswith(written.digest)


def root(station: str) -> bytes:
    """Return what the first event's digest covers: the id of the log."""
    return sha256(station.encode()).digest()
