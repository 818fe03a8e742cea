"""A bench in each kind of state, for tests that walk all of them."""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from functools import cache

from run_samples import HOT, Bench, bench_with, on_shift, one_piece, plan_of, team

from kiosk.catalog.model import Demand
from kiosk.plan.model import PeelPlace
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import (
    CoolingPlace,
    Estimate,
    LearnedCooling,
    LessonSource,
    PadHeat,
    TouchFeel,
)
from kiosk.run.state.events_shift import Overruled
from kiosk.run.state.model import ConfirmMode, TicketStage
from kiosk.run.state.rules import NO_RULES, Display, Role, Rules, TriedSubject

CHECKED = Rules(verify=Demand.ASKED, offset_most=5.0, spread_most=10.0)


def hands() -> Bench:
    """The second garment at the press, the first on the rack."""
    bench = bench_with()
    for _ in range(2):
        bench.tap()
        bench.ring()
    return bench.wait(1.0)


def heat() -> Bench:
    """Eight seconds into the second garment's final, the first one's peel long due."""
    bench = hands()
    bench.tick(70.0)
    bench.tap()
    bench.ring()
    bench.tap()
    return bench.wait(9.0)


def over() -> Bench:
    """Past the deadline, the opening not yet confirmed."""
    bench = bench_with(plan_of(one_piece(), confirm_opening=True))
    bench.tap()
    bench.ring()
    return bench.wait(1.0)


def unasked() -> Bench:
    """Closed during a hold."""
    bench = held()
    bench.do(c.PressClosed())
    return bench.wait(1.0)


def ask() -> Bench:
    """Asked for the size of the first garment."""
    bench = setting()
    bench.do(c.ReadSetting(300))
    return bench


def ask_closed() -> Bench:
    """The question whether the press was closed is open."""
    bench = bench_with()
    bench.tap()
    bench.wait(2.0)
    bench.do(c.SayOpened())
    return bench


def open_first() -> Bench:
    """Rebooted in a hot phase."""
    bench = bench_with()
    bench.tap()
    bench.reboot()
    return bench.wait(1.0)


def held() -> Bench:
    """On hold."""
    bench = bench_with()
    bench.do(c.PutOnHold("phone"))
    return bench.wait(1.0)


def setting(rules: Rules = NO_RULES) -> Bench:
    """A job begun, the press not yet set."""
    bench = on_shift()
    plan = plan_of(one_piece())
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    return bench


def done() -> Bench:
    """The only garment of the job is good."""
    bench = bench_with(plan_of(one_piece(PeelPlace.PRESS, HOT)), ("12",))
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    return bench.wait(1.0)


def verify() -> Bench:
    """The press is set and must be checked."""
    bench = setting(CHECKED)
    bench.do(c.ReadSetting(300))
    return bench


def trial() -> Bench:
    """The press is set to a setting based on guesses."""
    bench = on_shift()
    plan = plan_of(one_piece(PeelPlace.PRESS, HOT))
    rules = Rules(trial=Demand.ASKED)
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    bench.do(c.ReadSetting(300))
    return bench


def lot() -> Bench:
    """The first garment is good but not approved."""
    bench = on_shift()
    plan = plan_of(one_piece(PeelPlace.PRESS, HOT))
    rules = Rules(first_article=Demand.ASKED)
    bench.do(c.StartJob(plan.job, plan, "hash", team("12", "13", "14"), rules=rules))
    bench.answer()
    for _ in range(2):
        bench.tap()
        bench.ring()
    bench.tap()
    return bench.wait(1.0)


def off() -> Bench:
    """Nobody signed on, a job at the press."""
    bench = bench_with()
    bench.do(c.HandOver())
    return bench


def new() -> Bench:
    """A new boot in which the program has not started yet."""
    bench = bench_with()
    bench.boot, bench.clock = "boot-2", 9.0
    return bench


def once(play: Callable[[], Bench]) -> Callable[[], Bench]:
    """Play the bench only once and return a copy each time; its list is its only mutable part."""
    played = cache(play)

    def taken() -> Bench:
        bench = copy(played())
        bench.events = list(bench.events)
        return bench

    return taken


WAYS: dict[ScreenKind, Callable[[], Bench]] = {
    ScreenKind.HANDS: hands,
    ScreenKind.HEAT: heat,
    ScreenKind.OVER: over,
    ScreenKind.UNASKED: unasked,
    ScreenKind.ASK: ask,
    ScreenKind.ASK_CLOSED: ask_closed,
    ScreenKind.OPEN_FIRST: open_first,
    ScreenKind.HELD: held,
    ScreenKind.SETTING: setting,
    ScreenKind.VERIFY: verify,
    ScreenKind.TRIAL: trial,
    ScreenKind.LOT: lot,
    ScreenKind.DONE: done,
    ScreenKind.IDLE: on_shift,
    ScreenKind.OFF: off,
    ScreenKind.NEW: new,
}
IN = {kind: once(play) for kind, play in WAYS.items()}


def command_for(kind: type[c.Command], bench: Bench) -> c.Command:
    """Return a command of this type as somebody at this bench would give it."""
    return commands_for(bench)[kind]


def commands_for(bench: Bench) -> dict[type[c.Command], c.Command]:
    """Return a command of each type as somebody at this bench would give it."""
    plan = plan_of(one_piece(), job="other")
    ticket = bench.state.job.slot if bench.state.job else "1/1/1"
    return {
        c.Forward: c.Forward(bench.bar.meaning or c.Meaning(c.Verb.CLOSE), bench.clock),
        c.Tick: c.Tick(),
        c.Start: c.Start("1.0"),
        c.SignOn: c.SignOn("AB", ConfirmMode.GROUPED),
        c.GiveSignOff: c.GiveSignOff("AB", "one-piece", bench.now.wall + 9.0, "SV", met=True),
        c.HandOver: c.HandOver(),
        c.StartJob: c.StartJob("other", plan, "hash", team("7", "8")),
        c.LeaveJob: c.LeaveJob(),
        s.UnbeginJob: s.UnbeginJob("other"),
        s.TakeBatch: s.TakeBatch(bench.state.current, 2, team("7", "8")),
        s.EndBatches: s.EndBatches(bench.state.current),
        s.MeetClaims: s.MeetClaims(bench.state.current, (s.OtherStation("south", 4, blocks=True),)),
        c.ReadSetting: c.ReadSetting(300),
        c.AnswerQuestion: c.AnswerQuestion("L"),
        c.SayOpened: c.SayOpened(),
        c.SayClosed: c.SayClosed(True),
        s.SayNeverClosed: s.SayNeverClosed(),
        s.SayPressed: s.SayPressed(15.0),
        c.PressClosed: c.PressClosed(),
        c.PressOpened: c.PressOpened(),
        c.Back: c.Back(),
        c.PutOnHold: c.PutOnHold("phone"),
        c.Skip: c.Skip("pressed before"),
        c.PutAside: c.PutAside("a hole"),
        c.Inspect: _inspect(bench),
        c.ChooseDisplay: c.ChooseDisplay(Display("es", "C", "mm", still=True)),
        c.RowChanged: c.RowChanged("3", "new"),
        c.AllowRepress: c.AllowRepress(ticket, "SV", "edge lifts"),
        c.SetCues: c.SetCues(tones=False, voice=True, vibration=False),
        c.LearnKey: c.LearnKey(Role.FORWARD, 41),
        c.ForgetKeys: c.ForgetKeys(),
        c.RuleOnTicket: c.RuleOnTicket("3/1/1", TicketStage.VOID, "SV", "left the team"),
        s.VerifyPress: s.VerifyPress((301, 300, 299, 300, 302), (True, True, True, True)),
        s.LetPass: s.LetPass(_overruled(bench), "SV", "the probe is away"),
        s.JudgeFirst: s.JudgeFirst("1/1/1", approved=True, approver="SV", supervisor=True),
        s.BeginTrial: s.BeginTrial(),
        s.TryFirst: s.TryFirst(),
        s.JudgeTrial: s.JudgeTrial(),
        s.LeaveTrial: s.LeaveTrial(),
        s.NoteTrial: s.NoteTrial(TriedSubject("material", "sheet-film", "300 F, 15 s, test-knit")),
        s.TryPin: s.TryPin(right=False),
        s.ChoosePin: s.ChoosePin(),
        s.NoteRecipes: s.NoteRecipes("a digest"),
        s.NoteUpkeep: s.NoteUpkeep("press-one", "pad"),
        s.ConfirmColumns: s.ConfirmColumns("other", (("shirt size", "size"),), "a digest"),
        s.ApproveProof: s.ApproveProof("other", "MV", 12, "a digest"),
        s.TakeOrder: s.TakeOrder("other", (("shirt size", "size"),), "a digest", 3, ()),
        s.DeleteNames: s.DeleteNames("other", 12),
        s.GiveEstimate: _estimate(bench),
        s.SayPlace: s.SayPlace(_racked(bench), CoolingPlace.ON_PAD),
        s.ReportTouch: s.ReportTouch(_racked(bench), TouchFeel.READY),
        s.LearnPeel: LESSON,
        s.ResetLearning: s.ResetLearning(CoolingPlace.LIFTED, "SV"),
    }


def _overruled(bench: Bench) -> Overruled:
    held = {ScreenKind.VERIFY: Overruled.VERIFICATION, ScreenKind.TRIAL: Overruled.TRIAL}
    return next((w for k, w in held.items() if bench.is_in(k)), Overruled.FIRST_ARTICLE)


LESSON = s.LearnPeel(
    "1/1/1",
    CoolingPlace.LIFTED,
    LessonSource.READING,
    90.0,
    84.0,
    0.2,
    LearnedCooling(0.03, 50.0),
    0.9,
    1.03,
    1.2,
)


def _estimate(bench: Bench) -> c.Command:
    job = bench.state.job
    racked = [t for t in job.tickets.values() if t.opened] if job else []
    name, opened = (racked[0].id, racked[0].opened) if racked else ("1/1/1", None)
    found = Estimate(opened or bench.now, (), (), (), (), 23.0, 2.0)
    return s.GiveEstimate(name, found, PadHeat(bench.now, (23.0,), (23.0,)))


def _racked(bench: Bench) -> str:
    job = bench.state.job
    return (job.rack or (job.slot,))[0] if job else "1/1/1"


def _inspect(bench: Bench) -> c.Command:
    return c.Inspect(_racked(bench), TicketStage.SCRAP, "scorch", "over_run")
