"""Each event's digest covers all events before it, so that cuts and changes are detected."""

from __future__ import annotations

import hashlib
import shutil
import sqlite3
from itertools import pairwise
from pathlib import Path

import pytest
from log_samples import at, beginning, closed

from kiosk.log.rescue.mend import mend
from kiosk.log.rescue.pages import rows_of_pages
from kiosk.log.store.codec import EventRow
from kiosk.log.store.errors import Damaged
from kiosk.log.store.migrations import LogHead, NoHead
from kiosk.log.store.store import Store
from kiosk.log.verify import verify

GOLDEN = Path(__file__).parent / "golden" / "0.1.0.sqlite3"


def raw(path: Path, sql: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(path)
    try:
        with connection:
            return connection.execute(sql).fetchall()
    finally:
        connection.close()


def forged(path: Path, *statements: str) -> None:
    """Change the file as an expert would: remove the guards, leave valid checksums."""
    for guard in ("changed", "deleted"):
        raw(path, f"DROP TRIGGER events_are_never_{guard}")
    raw(path, "DROP TRIGGER events_come_in_order")
    for statement in statements:
        raw(path, statement)
    connection = sqlite3.connect(path)
    with connection:
        for seq, *row in connection.execute(
            "SELECT seq, kind, version, boot, clock, wall, payload FROM events"
        ).fetchall():
            good = EventRow(*row).sum(seq)
            connection.execute("UPDATE events SET sum = ? WHERE seq = ?", (good, seq))
    connection.close()


def head_of(path: Path) -> LogHead:
    with Store.read_only(path) as store:
        return store.head


def faults(path: Path, *expected: LogHead) -> list[str]:
    return [fault.id for fault in verify(path, expected).faults]


def test_a_digest_is_the_sha_256_of_the_previous_digest_and_the_event(path: Path) -> None:
    """Computed by hand, without the program's code, as docs/record.md describes it."""
    ((station,),) = raw(path, "SELECT station FROM identity")
    before = hashlib.sha256(str(station).encode()).digest()
    for seq, *row, digest in raw(
        path, "SELECT seq, kind, version, boot, clock, wall, payload, digest FROM events"
    ):
        text = "|".join(map(str, (seq, *row)))
        before = hashlib.sha256(before + text.encode()).digest()
        assert digest == before
    assert head_of(path).digest == before


def test_the_head_follows_the_last_event_as_the_log_grows(tmp_path: Path) -> None:
    with Store.open(tmp_path / "log") as store:
        assert store.head.seq == 0
        heads = [store.head]
        for event in (*beginning(), closed(9.0)):
            store.append([event])
            heads.append(store.head)
        with Store.read_only(tmp_path / "log") as other:
            assert other.head == heads[-1]
            assert [other.head_at(seq) for seq in range(1, 5)] == heads[1:]
            store.append([closed(10.0)])
            with other.reading():
                assert other.head == store.head
    assert len({head.digest for head in heads}) == len(heads)


def test_unwritten_events_do_not_move_the_head(tmp_path: Path) -> None:
    with Store.open(tmp_path / "log") as store:
        store.append(beginning())
        head = store.head
        next(store.rows("PRAGMA query_only = ON"), None)
        with pytest.raises(Exception, match="log"):
            store.append([closed(9.0)])
        assert store.head == head
        next(store.rows("PRAGMA query_only = OFF"), None)
        store.append([closed(9.0)])
    assert verify(tmp_path / "log").ok


def test_a_head_can_be_written_down_and_read_again() -> None:
    head = LogHead(1234, bytes(range(32)))
    assert head.short == "1234:0001-0203-0405-0607"
    for written in (head.short, "1234:0001020304050607", "1234: 0001 0203 0405 0607", head.full):
        assert head.is_as(LogHead.read(written))
    assert not head.is_as(LogHead.read("1234:0001-0203-0405-0608"))
    assert not head.is_as(LogHead.read("1233:0001-0203-0405-0607"))


@pytest.mark.parametrize(
    "written",
    ["", "12", "12:", ":00010203", "12:zz010203", "12:0001", "-1:00010203", "12:" + "0" * 66],
)
def test_an_invalid_head_is_refused(written: str) -> None:
    with pytest.raises(NoHead):
        LogHead.read(written)


def test_a_cut_tail_is_detected_by_the_printed_head(path: Path) -> None:
    head = head_of(path)
    forged(path, f"DELETE FROM events WHERE seq > {head.seq - 5}", "DELETE FROM checkpoint",
           "DELETE FROM mark")  # fmt: skip
    assert verify(path).ok  # nothing within the file shows it
    assert faults(path, head) == ["log.fault.cut"]


def test_a_changed_event_with_a_valid_checksum_is_reported(path: Path) -> None:
    forged(path, "UPDATE events SET wall = wall + 60 WHERE seq = 20")
    assert faults(path)[0] == "log.fault.chain"
    assert verify(path).faults[0].values["seq"] == 20


def test_removed_events_are_detected_even_after_renumbering(path: Path) -> None:
    forged(path, "DELETE FROM events WHERE seq BETWEEN 20 AND 22",
           "UPDATE events SET seq = seq - 3 WHERE seq > 22")  # fmt: skip
    assert "log.fault.chain" in faults(path)


def test_a_rewritten_record_with_a_valid_chain_is_detected_by_the_printed_head(
    path: Path, tmp_path: Path
) -> None:
    head = head_of(path)
    with Store.read_only(path) as store, Store.open(tmp_path / "other", None) as other:
        next(other.rows("UPDATE identity SET station = ?", store.station), None)
        other.refresh()
        other.append([event for seq, event in store.events() if seq != 20])
        other.append([closed(1e6)])
    (tmp_path / "other").replace(path)
    assert verify(path).ok
    assert faults(path, head) == ["log.fault.other"]


def test_earlier_printed_heads_still_fit_a_longer_record(path: Path) -> None:
    heads = [head_of(path)]
    with Store.read_only(path) as store:
        fifth, ninth = store.head_at(5), store.head_at(9)
    assert fifth is not None
    assert ninth is not None
    heads += [fifth, LogHead.read(ninth.short)]
    with Store.open(path, simulated=True) as store:
        store.append([closed(1e6)])
    assert faults(path, *heads) == []


def test_an_old_log_is_chained_at_its_next_start(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    shutil.copy(GOLDEN, path)
    before = raw(path, "SELECT seq, kind, payload, sum FROM events")
    with Store.open(path, simulated=True) as store:
        head, station = store.head, store.station
    assert raw(path, "SELECT seq, kind, payload, sum FROM events") == before
    digests = [digest for (digest,) in raw(path, "SELECT digest FROM events")]
    assert len(set(digests)) == len(before)
    assert verify(path).ok
    with Store.open(path, simulated=True) as store:  # only once
        assert (store.head, store.station) == (head, station)
    with pytest.raises(sqlite3.IntegrityError, match="only ever added to"):
        raw(path, "UPDATE events SET wall = 0")


def test_an_old_log_with_a_rotten_event_is_chained_too(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    content = bytearray(GOLDEN.read_bytes())
    place = content.rindex(b'"ticket"')
    content[place] = 0xFF  # invalid UTF-8
    path.write_bytes(content)
    with Store.open(path, simulated=True) as store, pytest.raises(Damaged):
        list(store.events())
    assert faults(path) == ["log.rotten"]


def test_a_mended_log_keeps_its_id_and_the_chain_up_to_the_gap(path: Path) -> None:
    with Store.read_only(path) as store:
        station, heads = store.station, {n: store.head_at(n) for n in range(1, store.last + 1)}
    content = bytearray(path.read_bytes())
    content[100:140] = b"\xff" * 40  # the first page: SQLite cannot open the file
    path.write_bytes(content)
    kept = sorted(rows_of_pages(path))
    mend(path, at(5.0))
    with Store.read_only(path) as store:
        assert store.station == station
        first_gap = next((b for a, b in pairwise([0, *kept]) if b != a + 1), len(kept) + 1)
        assert [store.head_at(n) for n in range(1, first_gap)] == list(heads.values())[
            : first_gap - 1
        ]
    assert verify(path).ok
