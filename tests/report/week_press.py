"""A made-up station through real days, with the real state machine and the real log.

A story lists the exceptions; everything else is steady and on time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

from kiosk.catalog.model import Demand
from kiosk.catalog.rules.faces import read_face
from kiosk.commands.load import load
from kiosk.log.record.recorder import Recorder
from kiosk.log.store.store import Store
from kiosk.plan.fingerprint import fingerprint
from kiosk.plan.model import PanelRefusal, Phase, Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.facts.hands import unseen_opening
from kiosk.run.facts.moves import required_setting
from kiosk.run.facts.peels import due_clock, peel_time
from kiosk.run.facts.questions import ScreenKind, kind_of, question_at_hand
from kiosk.run.facts.tickets import pass_of, slot_ticket
from kiosk.run.state import commands as c
from kiosk.run.state.commands_shift import LetPass, NoteRecipes, VerifyPress
from kiosk.run.state.event import Now
from kiosk.run.state.events_shift import Change, Overruled
from kiosk.run.state.model import ConfirmMode, Garment, TicketStage
from kiosk.run.state.rules import Rules
from kiosk.run.state.state import State

ROOT = Path(__file__).resolve().parents[2]
MONDAY = 1_770_019_200.0  # 2026-02-02 08:00 UTC
DAY = 86_400.0
SUPERVISOR = "WX"
CHECKED = Rules(verify=Demand.ASKED, offset_most=5.0, spread_most=8.0)
TWINS = ("16", "61", "68", "86", "89", "98", "66", "99")  # each is read from the garment first


@dataclass(frozen=True)
class Story:
    """One job on one day. Garments are counted from 1 in the order of their results.

    `slow` are hand seconds before the closing of a phase; `over` seconds from the tone to the
    opening, by phase, entered by a tap if `switch` is False; `early` and `wrong` list the peels
    and reads that go wrong; `results` those that are not good. `checks` are the press's offsets,
    one per check; `pause_before` the garments before which the station is idle for two hours;
    `made` ends the day with the rest open.
    """

    job: str
    title: str
    operator: str
    numbers: tuple[str, ...]
    day: int = 0
    slow: Mapping[Phase, float] = field(default_factory=dict)
    over: Mapping[Phase, float] = field(default_factory=dict)
    switch: bool = False
    early: frozenset[int] = frozenset()
    wrong: frozenset[int] = frozenset()
    results: Mapping[int, c.Inspect] = field(default_factory=dict)
    checks: tuple[int, ...] = ()
    pause_before: int = 0
    changes: tuple[Change, ...] = ()
    made: int = 0
    set_temperature: int | None = None
    press: str = "heron"
    due: str = ""
    lots: tuple[tuple[str, str], ...] = ()


def planned(story: Story) -> Plan:
    """Return the plan of a job of the demo folder with the story's title and press."""
    loaded = load(story.job, ROOT / "recipes")
    assert loaded is not None
    catalog, press = loaded.catalog, loaded.job.press
    if story.set_temperature is not None:
        bench = catalog.presses[press]
        degrees = replace(bench.set_temperature, value=Fraction(story.set_temperature))
        presses = {**catalog.presses, press: replace(bench, set_temperature=degrees)}
        catalog = replace(catalog, presses=presses)
    plan = plan_job(loaded.job, catalog, read_face())
    assert not isinstance(plan, PanelRefusal)
    return replace(plan, title=story.title, press=story.press)


class Press:
    """One station with its log; `clock` advances with everything done."""

    def __init__(self, path: Path) -> None:
        self.recorder = Recorder(Store.open(path, simulated=True))
        next(self.recorder.store.rows("PRAGMA synchronous = OFF"), None)
        self.now = Now("", 0.0, 0.0)
        self.story = Story("", "", "", ())
        self.counts: Counter[str] = Counter()

    @property
    def state(self) -> State:
        return self.recorder.state

    def day(self, story: Story) -> None:
        """Press a story's job, and hand over."""
        self.story, self.counts = story, Counter()
        self.now = Now(f"boot-{story.day}", 100.0, MONDAY + story.day * DAY)
        name = f"{story.job}-{story.day}"
        self.do(c.Start("week", simulated=True))
        if story.changes:
            self.do(NoteRecipes(f"digest-{story.day}", story.changes))
        self.do(c.SignOn(story.operator, ConfirmMode.GROUPED))
        plan = planned(story)
        rules = CHECKED if story.checks else Rules()
        self.do(
            c.StartJob(
                name,
                plan,
                fingerprint(plan),
                self._garments(),
                0,
                rules,
                due=story.due,
                lots=story.lots,
            )
        )
        for _ in range(100 * len(story.numbers)):
            if self._over():
                break
            self._turn()
        assert self._over(), kind_of(self.state, self.now)
        self.do(c.LeaveJob(), 5.0)
        self.do(c.HandOver(), 5.0)

    def do(self, command: object, after: float = 1.0) -> None:
        """Let the seconds pass, with a tick shortly before the end, and carry out the command."""
        self._pass(max(0.0, after - 0.6))
        self.recorder.do(c.Tick(), self.now)
        self._pass(min(0.6, after))
        self.recorder.do(command, self.now)  # type: ignore[arg-type]  # any command

    def _pass(self, seconds: float) -> None:
        self.now = Now(self.now.boot, self.now.clock + seconds, self.now.wall + seconds)

    def _garments(self) -> tuple[Garment, ...]:
        return tuple(
            Garment(str(n), number, "AM", f"digest-{n}")
            for n, number in enumerate(self.story.numbers, 1)
        )

    def _over(self) -> bool:
        job = self.state.job
        if job is None or job.done:
            return True
        enough = 0 < self.story.made <= self.counts["result"]
        return enough and not job.rack and self.state.heat is None

    def _turn(self) -> None:
        kind = kind_of(self.state, self.now)
        acts = {
            ScreenKind.ASK: self._read,
            ScreenKind.SETTING: self._set,
            ScreenKind.VERIFY: self._check,
            ScreenKind.HEAT: self._heat,
            ScreenKind.OVER: self._open,
            ScreenKind.HANDS: self._hands,
            ScreenKind.DONE: self._rest,
        }
        acts[kind]()

    def _read(self) -> None:
        assert self.state.job is not None
        question = question_at_hand(self.state.job)
        assert question is not None
        self.counts["read"] += 1
        slip = self.counts["read"] in self.story.wrong
        wrong = [choice for choice in question.choices if choice != question.right]
        self.do(c.AnswerQuestion((wrong or ["7"])[0] if slip else question.right), 3.0)

    def _set(self) -> None:
        job = self.state.job
        asked = None if job is None else required_setting(job)
        assert asked is not None
        self.do(c.ReadSetting(asked), 10.0)

    def _check(self) -> None:
        """Check the press; the supervisor overrides a failed check, suspecting the probe."""
        job = self.state.job
        needed = None if job is None else required_setting(job)
        assert needed is not None
        offset = self.story.checks[min(self.counts["check"], len(self.story.checks) - 1)]
        self.counts["check"] += 1
        self.do(VerifyPress((needed + offset,) * 5, (True,) * 4), 60.0)
        if kind_of(self.state, self.now) is ScreenKind.VERIFY:
            self.do(LetPass(Overruled.VERIFICATION, SUPERVISOR, "probe suspected"), 20.0)

    def _heat(self) -> None:
        heat, job = self.state.heat, self.state.job
        assert heat is not None
        assert heat.deadline is not None
        assert job is not None
        over = self.story.over.get(self._phase(heat.ticket, heat.step), 0.5)
        left = heat.deadline - self.now.clock
        if self.story.switch:
            self.do(c.PressOpened(), left + over)
        else:
            self.do(c.Tick(), left + 0.1)

    def _phase(self, ticket: str, step: int) -> Phase:
        job = self.state.job
        assert job is not None
        return pass_of(job, job.tickets[ticket]).steps[step].phase

    def _open(self) -> None:
        self.do(c.PressOpened(), 0.5)

    def _hands(self) -> None:
        job, ticket = self.state.job, slot_ticket(self.state.job)
        assert job is not None
        told = unseen_opening(job)
        if told is not None and self.story.over and not self.story.switch:
            phase = self._phase(told.id, told.step - 1)
            if phase in self.story.over:
                self.do(c.SayOpened(), self.story.over[phase])
                return
        stop = 0 < self.story.made <= self.counts["loaded"]
        hurry = self.counts["result"] + 1 in self.story.early
        if job.rack and (ticket is None or len(job.rack) > 1 or stop or hurry):
            self._peel(job.rack[0])
        elif ticket is not None:
            self._press(ticket.id)

    def _press(self, name: str) -> None:
        job = self.state.job
        assert job is not None
        meaning = bar_meaning(self.state, self.now).meaning
        if meaning is not None and meaning.verb is c.Verb.CLOSE:
            phase = self._phase(name, meaning.step)
            if self.counts["loaded"] + 1 == self.story.pause_before and meaning.step <= 1:
                self._pass(7200.0)
                self.story = replace(self.story, pause_before=0)
                self.do(c.Tick())
                return
            self.counts["loaded"] += phase is Phase.FINAL
            seconds = self.story.slow.get(phase, 6.0)
            self._pass(seconds)
            self.recorder.do(c.Tick(), self.now)
            self.recorder.do(c.Forward(meaning, self.now.clock), self.now)
        else:
            self._result(name, 5.0)

    def _peel(self, name: str) -> None:
        job = self.state.job
        assert job is not None
        ticket = job.tickets[name]
        due = due_clock(job, ticket, self.now) or self.now.clock
        early = self.counts["result"] + 1 in self.story.early
        waited = peel_time(job, ticket, self.now)
        if early and waited is not None and waited.from_seconds > 5:
            self._result(name, 1.0)
        else:
            self._result(name, max(1.0, due - self.now.clock + 2.0))

    def _result(self, name: str, after: float) -> None:
        self.counts["result"] += 1
        asked = self.story.results.get(self.counts["result"], c.Inspect("", TicketStage.GOOD))
        self.do(replace(asked, ticket=name), after)

    def _rest(self) -> None:
        """Mend and accept what waits for the supervisor."""
        job = self.state.job
        assert job is not None
        if job.rack:
            self._peel(job.rack[0])
        else:
            self.do(c.AllowRepress(job.aside[0], SUPERVISOR, "edge lifted"), 30.0)
