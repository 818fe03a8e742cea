"""The tail beside a log's file."""

from __future__ import annotations

from pathlib import Path

import pytest
from log_station import Station

from kiosk.log.rescue import pages
from kiosk.log.store import wal

FRAME = 24 + wal.PAGE


@pytest.fixture
def killed(tmp_path: Path) -> Path:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    copy = station.as_killed()
    station.recorder.close()
    return copy


def tail_of(path: Path) -> Path:
    return path.with_name(path.name + "-wal")


def test_a_missing_tail_has_no_frames(tmp_path: Path) -> None:
    assert wal.salt_of(tmp_path / "none-wal") == (b"", False)
    assert wal.committed(tmp_path / "none-wal", b"") == []


def test_the_header_of_a_tail_is_valid_until_it_is_spoiled(killed: Path) -> None:
    tail = tail_of(killed)
    salt, holds = wal.salt_of(tail)
    assert holds
    content = bytearray(tail.read_bytes())
    content[17] ^= 0xFF
    tail.write_bytes(content)
    assert wal.salt_of(tail) == (salt, False)  # now the first frame's salt


def test_every_commit_of_a_tail_is_found(killed: Path) -> None:
    tail = tail_of(killed)
    frames = wal.committed(tail, wal.salt_of(tail)[0])
    assert len(frames) == (tail.stat().st_size - 32) // FRAME
    assert frames[-1].ends


def test_uncommitted_frames_are_left_out(killed: Path) -> None:
    tail = tail_of(killed)
    before, events = wal.committed(tail, wal.salt_of(tail)[0]), pages.rows_of_pages(killed)
    last = bytearray(tail.read_bytes()[-FRAME:])
    last[4:8] = bytes(4)  # the mark of a commit's last frame
    with tail.open("ab") as file:
        file.write(last)
    assert wal.committed(tail, wal.salt_of(tail)[0]) == before
    assert pages.rows_of_pages(killed) == events


def test_frames_of_an_older_tail_are_left_out(killed: Path) -> None:
    tail = tail_of(killed)
    assert wal.committed(tail, b"12345678") == []
