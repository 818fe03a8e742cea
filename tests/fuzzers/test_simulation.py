"""The simulated shop finds planted faults, and prints the shortest failing story as a test."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests" / room) for room in ("run", "log")]

import sim_story  # noqa: E402 - the path above leads to what it needs
from sim_life import Broken  # noqa: E402
from sim_shop import play  # noqa: E402
from sim_shrink import fault_of, shrunk  # noqa: E402
from sim_story import Killed, Ordered, Shop, Work, as_test  # noqa: E402

from kiosk.log.record.recorder import Outcome, Recorder  # noqa: E402
from kiosk.log.store.store import Store  # noqa: E402
from kiosk.run.state import commands as c  # noqa: E402
from kiosk.run.state import events as e  # noqa: E402
from kiosk.run.state.event import Now  # noqa: E402


def shows_before_it_writes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plant: a closing is shown at once, but written only with the next event."""
    retry, do = Recorder.retry, Recorder.do

    def late(self: Recorder) -> bool:
        waits = bool(self._pending) and self._pending[-1].kind == "closed"
        return waits or retry(self)

    def boasting(self: Recorder, command: c.Command, now: Now) -> Outcome:
        return replace(do(self, command, now), recorded=True)

    monkeypatch.setattr(Recorder, "retry", late)
    monkeypatch.setattr(Recorder, "do", boasting)


# One act at a time, each followed by a kill: every moment of a garment occurs.
KILLS = tuple(Work(nth % 2, nth, 1, Killed("byte", 50 + 90 * nth)) for nth in range(12))
SHOP = Shop(2, (Ordered("rack", 2), Ordered("staged", 2)))


def test_a_planted_fault_is_found_shrunk_and_printed_as_a_test(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as planted:
        shows_before_it_writes(planted)
        assert "was told and is lost" in fault_of(SHOP, KILLS)
        shop, told = shrunk(SHOP, KILLS)
        assert (shop.stations, len(shop.orders), shop.orders[0].garments) == (1, 1, 1)
        assert len(told) <= 2
        made: dict[str, Any] = {**vars(sim_story), "play": play, "Path": Path}
        exec(as_test(shop, told, "none"), made)  # as it is printed
        with pytest.raises(Broken, match="was told and is lost"):
            made["test_story"](tmp_path / "planted")
    made["test_story"](tmp_path / "mended")


def another_fold(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plant: the state shown after a final differs from its event's result."""
    do = Recorder.do

    def slips(self: Recorder, command: c.Command, now: Now) -> Outcome:
        outcome = do(self, command, now)
        if any(isinstance(each, e.Closed) for each in outcome.events):
            self.state = replace(self.state, operator="XX")
        return outcome

    monkeypatch.setattr(Recorder, "do", slips)


def presses_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Plant: a start takes a garment whose final had begun for a waiting one."""
    init = Recorder.__init__

    def forgets(self: Recorder, store: Store, *progress: Any) -> None:
        init(self, store, *progress)
        job = self.state.job
        if job is not None and job.slot:
            ticket = replace(job.tickets[job.slot], finals=0)
            job = replace(job, tickets={**job.tickets, job.slot: ticket})
            self.state = replace(self.state, job=job)

    monkeypatch.setattr(Recorder, "__init__", forgets)


@pytest.mark.parametrize(
    ("plant", "said"),
    [
        (another_fold, "the fold of its events is another state"),
        (presses_again, "a start comes to another state"),
    ],
)
def test_each_invariant_finds_its_planted_fault(
    plant: Callable[[pytest.MonkeyPatch], None], said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    plant(monkeypatch)
    assert said in fault_of(SHOP, KILLS)
