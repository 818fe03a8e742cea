"""What is spoken: steps and numbers, never a name; short enough for the phase it announces."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import Phase
from kiosk.run.facts import Kind
from kiosk.run.show import Ready, View

_CLOSED = {
    Phase.PRE_PRESS: say("voice.pre_press"),
    Phase.TACK: say("voice.tack"),
    Phase.FINAL: say("voice.final"),
}
_KINDS = {
    Kind.OVER: say("voice.over"),
    Kind.UNASKED: say("voice.over"),
    Kind.OPEN_FIRST: say("voice.over"),
    Kind.ASK: say("voice.ask"),
    Kind.ASK_CLOSED: say("voice.ask_closed"),
    Kind.SETTING: say("voice.setting"),
    Kind.HELD: say("voice.held"),
    Kind.DONE: say("voice.done"),
}


def prompts(view: View) -> tuple[Message, ...]:
    """Return what to say of a picture, part by part; the same parts are said once."""
    if view.kind is Kind.HEAT:
        return _of_heat(view)
    if view.kind is Kind.HANDS:
        return _of_hands(view)
    said = _KINDS.get(view.kind)
    return () if said is None else (said,)


def _of_heat(view: View) -> tuple[Message, ...]:
    due = next((chip for chip in view.chips if chip.ready is not Ready.SOON), None)
    if due is not None:
        return (say("voice.due", number=spoken(due.number)),)
    said = None if view.phase is None else _CLOSED.get(view.phase)
    return () if said is None else (said,)


def _of_hands(view: View) -> tuple[Message, ...]:
    opened = (say("voice.open"),) if view.open_since is not None else ()
    named = view.phase is Phase.LOAD and view.number and "number" not in view.move.values
    number = (say("voice.number", number=spoken(view.number)),) if named else ()
    return (*opened, *number, Message(view.move.id, _spoken_numbers(view.move.values)))


def _spoken_numbers(values: Mapping[str, Value]) -> dict[str, Value]:
    numbers = {"number", "racked"}
    return {k: spoken(str(v)) if k in numbers else v for k, v in values.items()}


def spoken(number: str) -> str:
    """Return a number digit by digit, as it is read out in noise: `07` is not `7`."""
    return " ".join(number)
