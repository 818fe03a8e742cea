"""Every command in every kind of state: the table, checked over all pairs."""

from __future__ import annotations

import typing

import pytest
from every_kind import IN, command_for

from kiosk.run.apply.fold import replay
from kiosk.run.decide.decide import COMMANDS, decide, is_legal
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.event import Refusal

COLUMNS = tuple(IN)
"""In this order: hands, heat, over, unasked, ask, ask closed, open first, held, setting,
verify, trial, lot, done, idle, off, new.
"""

# E events, 0 accepted with nothing to do, r refused for its content, . refused by the table.
EXPECTED = {
    c.Forward: "EEEE..EE........",
    c.Tick: "0000000000000000",
    c.Start: "EEEEEEEEEEEEEEEE",
    c.SignOn: "E...E..EEEEEEEE.",
    c.GiveSignOff: "E...E..EEEEEEEE.",
    c.ChooseDisplay: "EEEEEEEEEEEEEEE.",
    c.HandOver: "E...E..EEEEEEE..",
    c.StartJob: "............EE..",
    c.LeaveJob: "r...E...EEEEE...",
    s.UnbeginJob: "............rr..",
    s.TakeBatch: "000000000000000.",
    s.EndBatches: "000000000000000.",
    s.MeetClaims: "E...E..EEEEE0.E.",
    c.ReadSetting: "E...E...EEE.....",
    c.AnswerQuestion: "....E...........",
    c.SayOpened: "EEEEr.E.rrrrr...",
    c.SayClosed: ".....E..........",
    s.SayNeverClosed: "E...r...rrrrr...",
    s.SayPressed: "E...............",
    c.PressClosed: "EEErEEEEEEEEEEE.",
    c.PressOpened: "EEEErEErrrrrrrr.",
    c.Back: "E...r...rrrEE...",
    c.PutOnHold: "E...E...EEEE....",
    c.Skip: "E...............",
    c.PutAside: "E...E...EEE.....",
    c.Inspect: "EErrEr.EEEErr...",
    c.RowChanged: "EEEEEEEEEEEE0.E.",
    c.AllowRepress: "rrrrrrrrrrrrr.r.",
    c.RuleOnTicket: "EEEEEEEEEEEEr.E.",
    s.VerifyPress: ".........E......",
    s.LetPass: ".........EEE....",
    s.JudgeFirst: "...........E....",
    s.BeginTrial: "..........E.....",
    s.TryFirst: "..........E.....",
    s.JudgeTrial: "..........r.....",
    s.LeaveTrial: "000000000000000.",
    s.NoteTrial: "000000000000000.",
    s.TryPin: "EEEEEEEEEEEEEEE.",
    s.ChoosePin: "EEEEEEEEEEEEEEE.",
    s.NoteRecipes: "EEEEEEEEEEEEEEE.",
    s.NoteUpkeep: "EEEEEEEEEEEEEEE.",
    s.ConfirmColumns: "............EE..",
    s.ApproveProof: "............EE..",
    s.TakeOrder: "............EE..",
    s.DeleteNames: "EEEEEEEEEEEEEEEE",
    c.SetCues: "EEEEEEEEEEEEEEE.",
    c.LearnKey: "E...E..EEEEEEEE.",
    c.ForgetKeys: "0...0..00000000.",
    s.GiveEstimate: "EE000000000EE.0.",
    s.SayPlace: "EErrrr.rrrrrr...",
    s.ReportTouch: "EErrrr.rrrrrr...",
    s.LearnPeel: "EEEEEEEEEEEEE.E.",
    s.ResetLearning: "rrrrrrrrrrrrrrr.",
}

PAIRS = [(command, kind) for command in EXPECTED for kind in COLUMNS]


def test_the_table_has_a_row_for_every_command_and_every_kind_can_be_reached() -> None:
    every = set(typing.get_args(c.Command))
    assert set(COMMANDS) == every == set(EXPECTED)
    assert set(COLUMNS) == set(ScreenKind)
    for kind, begin in IN.items():
        assert begin().is_in(kind)


@pytest.mark.parametrize(("command", "kind"), PAIRS)
def test_a_command_does_what_the_table_says(command: type[c.Command], kind: ScreenKind) -> None:
    bench = IN[kind]()
    before = bench.state
    answer = decide(bench.state, command_for(command, bench), bench.now)
    assert bench.state is before
    expected = EXPECTED[command][COLUMNS.index(kind)]
    assert is_legal(command, kind) is (expected != ".")
    if isinstance(answer, Refusal):
        by_table = answer.reason.id == f"refuse.while.{kind.name.lower()}"
        assert expected == ("." if by_table else "r")
    else:
        assert expected == ("E" if answer else "0")
        replay(answer, bench.state)


@pytest.mark.parametrize("kind", COLUMNS)
def test_nothing_hot_is_taken_back_held_or_left(kind: ScreenKind) -> None:
    if IN[kind]().state.heat is not None:
        for command in (
            c.Back,
            s.SayNeverClosed,
            c.PutOnHold,
            c.LeaveJob,
            c.StartJob,
            c.HandOver,
            c.PutAside,
        ):
            assert not is_legal(command, kind)
