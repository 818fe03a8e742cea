"""Every command in the middle of every kind of thing: the table, walked over all pairs."""

from __future__ import annotations

import typing

import pytest
from every_kind import IN, command_for

from kiosk.run import commands as c
from kiosk.run import commands_shift as s
from kiosk.run.apply import replay
from kiosk.run.decide import decide
from kiosk.run.model import Refusal
from kiosk.run.transitions import LEGAL, is_legal
from kiosk.run.views import Kind

COLUMNS = tuple(IN)
"""In this order: hands, heat, over, unasked, ask, ask closed, open first, held, setting,
verify, lot, done, idle, off, new."""

# E events, 0 taken and nothing to do, r refused for its content, . refused by the table.
EXPECTED = {
    c.Forward: "EEEE..EE.......",
    c.Tick: "000000000000000",
    c.Start: "EEEEEEEEEEEEEEE",
    c.SignOn: "E...E..EEEEEEE.",
    c.SignOff: "E...E..EEEEEEE.",
    c.ChooseDisplay: "EEEEEEEEEEEEEE.",
    c.HandOver: "E...E..EEEEEE..",
    c.StartJob: "...........EE..",
    c.LeaveJob: "r...E...EEEE...",
    c.ReadSetting: "E...E...EE.....",
    c.Read: "....E..........",
    c.SayOpened: "EEEEr.E.rrrr...",
    c.SayClosed: ".....E.........",
    c.SayNeverClosed: "E...r...rrrr...",
    c.SayPressed: "E..............",
    c.PressClosed: "ErErEEEEEEEEEE.",
    c.PressOpened: "EEEErEErrrrrrr.",
    c.Back: "E...r...rrEE...",
    c.HoldOn: "E...E...EEE....",
    c.Skip: "E..............",
    c.PutAside: "E...E...EE.....",
    c.Inspect: "EErrEr.EEErr...",
    c.RowChanged: "EEEEEEEEEEE0.E.",
    c.AllowRepress: "rrrrrrrrrrrr.r.",
    c.Rule: "EEEEEEEEEEEr.E.",
    s.VerifyPress: ".........E.....",
    s.LetPass: ".........EE....",
    s.JudgeFirst: "..........E....",
    s.TryPin: "EEEEEEEEEEEEEE.",
    s.ChoosePin: "EEEEEEEEEEEEEE.",
    s.NoteRecipes: "EEEEEEEEEEEEEE.",
    s.SeeTo: "EEEEEEEEEEEEEE.",
    s.ConfirmColumns: "...........EE..",
    s.DeleteNames: "EEEEEEEEEEEEEEE",
    c.SetCues: "EEEEEEEEEEEEEE.",
    c.LearnKey: "E...E..EEEEEEE.",
    c.ForgetKeys: "0...0..0000000.",
    c.GiveEstimate: "EE00000000EE.0.",
    c.SayPlace: "EErrrr.rrrrr...",
    c.Touch: "EErrrr.rrrrr...",
    c.Learn: "EEEEEEEEEEEE.E.",
    c.ResetLearning: "rrrrrrrrrrrrrr.",
}

PAIRS = [(command, kind) for command in EXPECTED for kind in COLUMNS]


def test_the_table_has_a_row_for_every_command_and_every_kind_can_be_reached() -> None:
    every = set(typing.get_args(c.Command))
    assert set(LEGAL) == every == set(EXPECTED)
    assert set(COLUMNS) == set(Kind)
    for kind, begin in IN.items():
        assert begin().is_in(kind)


@pytest.mark.parametrize(("command", "kind"), PAIRS)
def test_a_command_does_what_the_table_says(command: type[c.Command], kind: Kind) -> None:
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
def test_nothing_hot_is_taken_back_held_or_left(kind: Kind) -> None:
    if IN[kind]().state.heat is not None:
        for command in (
            c.Back,
            c.SayNeverClosed,
            c.HoldOn,
            c.LeaveJob,
            c.StartJob,
            c.HandOver,
            c.PutAside,
        ):
            assert not is_legal(command, kind)
