"""The live wall: a limited number of listeners, and none that stops reading."""

from __future__ import annotations

import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import board_stage
import pytest
from board_stage import PATIENCE, Board, Wired, served

from kiosk.office import OneLog, live

LET_IN, REFUSED = b"HTTP/1.1 200", b"HTTP/1.1 503"


@pytest.fixture
def record(tmp_path: Path) -> Iterator[OneLog]:
    station = Wired(tmp_path / "pier.sqlite3")
    station.begins("harbour", "Harbour order", 3)
    yield OneLog(station.path)
    station.recorder.close()


def asks(board: Board, held: ExitStack) -> socket.socket:
    """Request the live stream, without reading yet."""
    line = held.enter_context(socket.socket())
    line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
    line.settimeout(PATIENCE)
    line.connect(("127.0.0.1", board.port))
    line.sendall(b"GET /wall/live HTTP/1.1\r\nHost: localhost\r\n\r\n")
    return line


def answer(line: socket.socket) -> bytes:
    return line.recv(len(LET_IN))


def let_in_again(board: Board, held: ExitStack) -> None:
    """Request until there is room."""
    ends = time.monotonic() + PATIENCE
    while answer(asks(board, held)) != LET_IN:
        assert time.monotonic() < ends
        time.sleep(0.02)


def test_of_many_simultaneous_listeners_only_the_limit_is_let_in(record: OneLog) -> None:
    with served(record) as board, ExitStack() as held:
        with ExitStack() as first:
            answers = [answer(each) for each in [asks(board, first) for _ in range(200)]]
            assert answers.count(LET_IN) == live.MOST_LISTENERS
            assert answers.count(REFUSED) == 200 - live.MOST_LISTENERS
        let_in_again(board, held)  # they have gone


def test_a_listener_that_reads_nothing_loses_its_place(
    record: OneLog, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(live, "MOST_LISTENERS", 1)
    monkeypatch.setattr(live, "ALIVE_SECONDS", 0.001)  # sent so often that all buffers fill
    monkeypatch.setattr(live, "TAKES_SECONDS", 0.2)
    usual = board_stage.listening

    def narrow(host: str, port: int) -> socket.socket:
        at = usual(host, port)
        at.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, 2048)
        return at

    monkeypatch.setattr(board_stage, "listening", narrow)
    with served(record) as board, ExitStack() as held:
        asleep = asks(board, held)
        assert answer(asleep) == LET_IN
        assert answer(asks(board, held)) == REFUSED
        let_in_again(board, held)
    assert "Traceback" not in capfd.readouterr().err
