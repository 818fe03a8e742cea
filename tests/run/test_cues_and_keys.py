"""Cues and learned keys are events, so that a restart remembers them."""

from __future__ import annotations

from run_samples import on_shift

from kiosk.run.decide.decide import decide
from kiosk.run.state import commands as c
from kiosk.run.state.event import Refusal
from kiosk.run.state.rules import Cues, Role

TAB, LEFT, RIGHT = 43, 80, 79  # scancodes (USB HID usage tables, keyboard page)


def test_a_new_key_replaces_the_old_one_of_its_role() -> None:
    bench = on_shift()
    bench.do(c.LearnKey(Role.FORWARD, TAB))
    bench.do(c.LearnKey(Role.SECOND, LEFT))
    bench.do(c.LearnKey(Role.FORWARD, RIGHT))
    assert dict(bench.state.keys) == {LEFT: Role.SECOND, RIGHT: Role.FORWARD}
    bench.do(c.ForgetKeys())
    assert bench.state.keys == ()


def test_a_key_has_one_role() -> None:
    bench = on_shift()
    bench.do(c.LearnKey(Role.FORWARD, TAB))
    answer = decide(bench.state, c.LearnKey(Role.CLOSED, TAB), bench.now)
    assert isinstance(answer, Refusal)
    assert answer.reason.id == "refuse.key.taken"
    bench.do(c.LearnKey(Role.FORWARD, TAB))  # the same key and role again is accepted


def test_cues_are_the_shops_until_somebody_sets_them() -> None:
    bench = on_shift()
    assert bench.state.cues is None
    bench.do(c.SetCues(tones=False, voice=True, vibration=True))
    assert bench.state.cues == Cues(tones=False, voice=True, vibration=True)
