"""Pieces used up by scrap: those that the press closed on, by a real station's record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from report_samples import at, plan, step

from kiosk.log.facts import facts, read_through, ready, shifts
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.plan.model import Phase, Piece, Plan
from kiosk.report.answers.results import buy, spoiled_pieces
from kiosk.report.period import Period
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.facts.questions import question_at_hand
from kiosk.run.state import commands as c
from kiosk.run.state.commands_shift import SayNeverClosed
from kiosk.run.state.model import ConfirmMode, Garment, TicketStage
from kiosk.words import Words

LOWER, UPPER = ("film", "black"), ("flock", "white")  # the number's layers, in `report_samples`
SCRAP = {"defect": "scorch", "cause": "over_run"}


class Pressing:
    """A station with three garments of a two-layer number: lay, tack, lay the top, final."""

    def __init__(
        self,
        path: Path,
        numbers: tuple[str, ...] = ("11", "12", "13"),
        of: Plan | None = None,
        lacks: tuple[str, ...] = (),
    ) -> None:
        self.path, self.clock = path, 100.0
        self.recorder = Recorder(Store.open(path))
        self.do(c.Start("0.1"))
        self.do(c.SignOn("QV", ConfirmMode.GROUPED))
        garments = tuple(
            Garment(str(n), own, "AL", f"row {n}", lacks=lacks if n == 1 else ())
            for n, own in enumerate(numbers, 1)
        )
        self.job = c.StartJob("ferry", of or plan(), "hash", garments)
        self.do(self.job)

    def do(self, command: c.Command, after: float = 1.0) -> None:
        self.clock += after
        outcome = self.recorder.do(command, at(self.clock))
        assert outcome.refusal is None, outcome.refusal

    def ready(self) -> None:
        """Answer what is asked, the setting first."""
        job = self.recorder.state.job
        assert job is not None
        if job.setting is None:
            self.do(c.ReadSetting(300))
        while (job := self.recorder.state.job) and (question := question_at_hand(job)):
            self.do(c.AnswerQuestion(question.right))

    def forward(self) -> None:
        self.ready()
        self.clock += 12.0
        meaning = bar_meaning(self.recorder.state, at(self.clock)).meaning
        assert meaning is not None
        self.do(c.Forward(meaning, self.clock + 1.0))

    def close(self) -> None:
        """Press forward until the press closes, and wait for the tone."""
        while self.recorder.state.heat is None:
            self.forward()
        heat = self.recorder.state.heat
        assert heat is not None
        assert heat.deadline is not None
        self.do(c.Tick(), after=heat.deadline - self.clock)

    def scrap(self, ticket: str) -> None:
        self.do(c.Inspect(ticket, TicketStage.SCRAP, **SCRAP), after=30.0)

    def used(self) -> dict[tuple[str, str], str]:
        """Return the digits used up by scrap, by material and colour."""
        found: dict[tuple[str, str], str] = {}
        for part, count in sorted(spoiled_pieces(self.period()).items()):
            key = (part.material, part.colour)
            found[key] = found.get(key, "") + part.character * count
        return found

    def period(self) -> Period:
        with Store.read_only(self.path) as store, store.reading():
            ready(store)
            return Period((read_through(facts(store, shifts(store)[-1:])),))


@pytest.fixture
def press(tmp_path: Path) -> Iterator[Pressing]:
    made = Pressing(tmp_path / "station.sqlite3")
    yield made
    made.recorder.close()


def test_scrap_after_the_first_tack_uses_up_only_the_lower_layer(press: Pressing) -> None:
    press.close()
    press.scrap("1/1/1")
    assert press.used() == {LOWER: "11"}


def test_scrap_after_the_final_uses_up_both_layers(press: Pressing) -> None:
    press.close()
    press.close()
    press.scrap("1/1/1")
    assert press.used() == {LOWER: "11", UPPER: "11"}


def test_scrap_before_any_heat_uses_up_nothing(press: Pressing) -> None:
    """A piece that was never heated can be used again."""
    press.ready()
    press.scrap("1/1/1")
    assert press.used() == {}
    (answer,) = buy(press.period()).answer
    assert Words("en").say(answer) == "1 garment to replace; no piece was pressed on it."


def test_a_closing_that_never_happened_uses_up_nothing(press: Pressing) -> None:
    press.close()
    press.do(SayNeverClosed())
    press.scrap("1/1/1")
    assert press.used() == {}


def test_pieces_pressed_before_a_job_was_left_count_as_used_by_scrap(press: Pressing) -> None:
    press.close()
    press.do(c.LeaveJob())
    press.do(press.job)
    press.ready()
    press.scrap("1/1/1")
    assert press.used() == {LOWER: "11"}


def test_a_garment_without_a_number_uses_up_no_digits(tmp_path: Path) -> None:
    """As an older record has it: it went through every closing."""
    press = Pressing(tmp_path / "station.sqlite3", ("", "12", "13"))
    press.close()
    press.close()
    press.scrap("1/1/1")
    assert not spoiled_pieces(press.period())
    press.recorder.close()


def test_a_garment_without_a_name_uses_up_no_name(tmp_path: Path) -> None:
    """Its number had only the final; the next garment has both."""
    whole = plan()
    (own,) = whole.passes
    name = Piece("name.1", "name", 1, 1, "film", "red", "back")
    steps = list(own.steps)
    final = replace(steps[4], pieces=(*steps[4].pieces, "name.1"))
    steps[4:5] = [step(Phase.LAY, "name.1"), final]
    both = replace(whole, passes=(replace(own, steps=tuple(steps)),), pieces=(*whole.pieces, name))
    press = Pressing(tmp_path / "station.sqlite3", of=both, lacks=("name",))
    for ticket, used in (("1/1/1", 0), ("2/1/1", 1)):
        press.close()
        press.close()
        press.scrap(ticket)
        assert (
            sum(n for part, n in spoiled_pieces(press.period()).items() if part.element == "name")
            == used
        )
    press.recorder.close()
