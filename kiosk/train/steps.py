"""The steps of a pass by name: as keys of what a trainee has learnt, and as words."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.plan.model import Pass, Phase

_PLAIN = {
    Phase.LOAD: say("practice.step.load"),
    Phase.PRE_PRESS: say("practice.step.pre_press"),
    Phase.COVER: say("practice.step.cover"),
    Phase.FINAL: say("practice.step.final"),
    Phase.INSPECT: say("practice.step.inspect"),
}


def step_key(passage: Pass, index: int) -> str:
    """Return the key of a step: its phase, and which one of them it is (`tack 2`)."""
    phase = passage.steps[index].phase
    nth = sum(step.phase is phase for step in passage.steps[: index + 1])
    return f"{phase.value} {nth}"


def step_name(passage: Pass, index: int) -> Message:
    """Return what a step is called; no two steps of a pass are called alike."""
    step = passage.steps[index]
    if step.phase in _PLAIN:
        return _PLAIN[step.phase]
    before = [each.phase for each in passage.steps[:index]]
    tacked = before.count(Phase.TACK)
    peel = "" if step.peel is None else say(f"peel.{step.peel.word}")
    if step.phase is Phase.TACK:
        return say("practice.step.tack", layer=tacked + 1)
    if step.phase is Phase.REMOVE_CARRIER:
        return say("practice.step.carrier", layer=tacked, peel=peel)
    if step.phase is Phase.LAY_TOP:
        return say("practice.step.lay_layer", layer=tacked + 1)
    if step.phase is Phase.PEEL:
        return say("practice.step.peel", peel=peel)
    if not any(each.phase is Phase.TACK for each in passage.steps):
        return say("practice.step.lay")
    return say("practice.step.lay_single") if tacked else say("practice.step.lay_layer", layer=1)
