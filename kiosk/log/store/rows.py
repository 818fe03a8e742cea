"""Events as rows of the file, with number, checksum and digest; and checks for damage."""

from collections.abc import Iterable, Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple
from zlib import crc32

from kiosk.catalog.base import say
from kiosk.log.store.codec import EventRow, FromNewer, Unreadable, decode, link
from kiosk.log.store.errors import Damaged, Newer
from kiosk.run.state import Event

_TEXT = b"%d|%b|%d|%b|%a|%a|%b"  # as `EventRow.text`, the first seven cells, texts as bytes


def first_bad(rows: Iterable[tuple[Any, ...]]) -> int | None:
    """Return the number of the first row whose checksum does not match, or None.

    Texts are bytes, the checksum is the last cell. One loop, for speed: a report checks every
    event.
    """
    row: tuple[Any, ...] = (0,)
    try:
        for row in rows:
            if crc32(_TEXT % row[:7]) != row[7]:
                return int(row[0])
    except TypeError:  # a cell of the wrong type
        return int(row[0])
    return None


def chained(path: Path, rows: Iterable[tuple[Any, ...]], before: bytes) -> Iterator[Any]:
    """Yield rows unchanged, checking that each digest covers its row and the previous digest.

    `before` is the digest before the first; texts are bytes, the digest is the last cell. Raises
    Damaged.
    """
    seq = 0
    with suppress(TypeError):  # a cell of the wrong type
        for row in rows:
            seq = row[0]
            if sha256(before + _TEXT % row[:7]).digest() != row[-1]:
                break
            before = row[-1]
            yield row
        else:
            return
    raise Damaged(say("log.rotten", path=str(path), seq=seq))


class NumberedEvent(NamedTuple):
    """An event with its number in the log."""

    seq: int
    event: Event


class StoredRow(NamedTuple):
    """An event's row as stored in the file, unchecked."""

    seq: int
    row: EventRow
    sum: int
    digest: bytes

    @property
    def whole(self) -> bool:
        """Whether the row matches its checksum."""
        return self.row.sum(self.seq) == self.sum

    def follows(self, before: bytes) -> bool:
        """Whether the digest covers this row and `before`, the previous event's digest."""
        return link(before, self.seq, self.row) == self.digest


class LoggedEvent(NamedTuple):
    """An event with its number, its row and the row's checksum."""

    seq: int
    event: Event
    row: EventRow
    sum: int


def readable(path: Path, stored: StoredRow) -> LoggedEvent | None:
    """Return the event of a row, or None if it cannot be read. Raises Newer."""
    seq, row, total, _ = stored
    with suppress(Damaged):
        return LoggedEvent(seq, event_of(path, seq, row, total), row, total)
    return None


def event_of(path: Path, seq: int, row: EventRow, total: int) -> Event:
    """Return the event of a row, verifying its checksum `total`. Raises Damaged, Newer."""
    if row.sum(seq) != total:
        raise Damaged(say("log.rotten", path=str(path), seq=seq))
    return decoded(path, seq, row)


def decoded(path: Path, seq: int, row: EventRow) -> Event:
    """Return the event of a row whose checksum was already verified. Raises Damaged, Newer."""
    try:
        return decode(row)
    except FromNewer as error:
        raise Newer(say("log.newer", path=str(path), found=str(error))) from error
    except Unreadable as error:
        raise Damaged(say("log.rotten", path=str(path), seq=seq)) from error
