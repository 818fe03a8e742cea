"""A board builds its pages in threads: concurrent results equal those of one thread."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from functools import partial
from math import factorial, log
from pathlib import Path
from threading import Barrier, Thread
from types import FrameType
from typing import Any, TypeVar

import pytest
from log_samples import plan

import kiosk
from kiosk import face
from kiosk.catalog.base import say
from kiosk.catalog.model import Database
from kiosk.log.store import codec
from kiosk.plan.model import Plan
from kiosk.report import evidence

T = TypeVar("T")
THREADS, ROUNDS = 4, 40


@pytest.fixture(autouse=True)
def _in_turns() -> Iterator[None]:
    """Make threads switch as often as possible, so that a few rounds cover every moment."""
    usual = sys.getswitchinterval()
    sys.setswitchinterval(1e-6)
    yield
    sys.setswitchinterval(usual)


def at_once(call: Callable[[], T]) -> list[T]:
    start, found = Barrier(THREADS), list[T]()

    def run() -> None:
        start.wait()
        found.append(call())

    threads = [Thread(target=run) for _ in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


def in_the_middle(call: Callable[[], object], moment: int, meanwhile: Callable[[], T]) -> list[T]:
    """Run `meanwhile` in another thread before line number `moment` of `call`."""
    lines, found = iter(range(moment + 1)), list[T]()

    def look(frame: FrameType, event: str, _: object) -> Any:
        if frame.f_code.co_filename != kiosk.__file__:
            return None
        if event == "line" and next(lines, None) == moment:
            other = Thread(target=lambda: found.append(meanwhile()))
            other.start()
            other.join()
        return look

    before = sys.gettrace()
    sys.settrace(look)
    try:
        call()
    finally:
        sys.settrace(before)
    return found


@pytest.mark.filterwarnings("error::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_shelf_finds_its_names_while_another_thread_loads_it() -> None:
    """Pages and background work import modules on first use."""
    for moment in range(1000):
        name = face("kiosk.catalog.base")
        ask = partial(name, "say")
        found = in_the_middle(ask, moment, ask)
        if not found:
            break
        assert found == [say]
    assert 3 < moment < 999


@pytest.mark.filterwarnings("error::pytest.PytestUnhandledThreadExceptionWarning")
def test_threads_read_the_first_events_of_a_process_alike() -> None:
    """A half-made reader once read a good event as damaged, and all after it."""
    written = json.loads(codec.to_json(plan()))
    for _ in range(ROUNDS):
        read = codec._reader_of_fields(Plan)
        assert at_once(lambda read=read: read(written)) == [plan()] * THREADS  # type: ignore[misc]
        assert read(written) == plan()


def test_threads_compute_the_same_log_factorials(monkeypatch: pytest.MonkeyPatch) -> None:
    """Compared with exact factorials from the standard library."""
    right = [log(factorial(n)) for n in range(171)]
    for _ in range(ROUNDS):
        monkeypatch.setattr(evidence, "_factorials", [])
        asked = iter((170, 40, 110, 160))
        for known in at_once(lambda asked=asked: evidence.log_factorials(next(asked))):  # type: ignore[misc]
            assert known == pytest.approx(right[: len(known)], rel=1e-12)
        assert evidence.log_factorials(170) == pytest.approx(right, rel=1e-12)


def test_threads_refuse_an_unproven_server_and_leave_the_environment_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """libpq is configured through the environment, which all threads share."""
    server = pytest.importorskip("kiosk.shop.server", reason="without the part that signs in")
    services = tmp_path / "services.conf"
    services.write_text("[press]\nhost=press.example\nsslmode=require\n")
    monkeypatch.setenv("PGSERVICEFILE", str(services))
    monkeypatch.delenv("PGSERVICE", raising=False)
    address = Database("service=press")

    def refused() -> int:
        count = 0
        for _ in range(ROUNDS):
            with pytest.raises(server.ShopFault):
                server.must_prove_itself(address)
            count += 1
        return count

    for _ in range(3):
        assert at_once(refused) == [ROUNDS] * THREADS
        assert "PGSERVICE" not in os.environ
