"""What the sentences call things: garments, layers, settings."""

from __future__ import annotations

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import Pass, Phase, Plan, Step
from kiosk.run.state.model import Ticket


def called(ticket: Ticket) -> str:
    """Return what a garment is called: its number and its set, `7 home`, where it has one."""
    own = ticket.garment.set
    return f"{numbered(ticket)} {own}" if own else numbered(ticket)


def numbered(ticket: Ticket) -> str:
    """Return a garment's number, or its line where it has none: `#12`."""
    return ticket.garment.number or f"#{ticket.garment.line}"


def setting(plan: Plan, step: Step) -> Message:
    """Return the setting of a hot step: `300 °F medium-firm 15 s`."""
    return _setting("setting.press", step, {"unit": plan.unit.value})


def final_setting(plan: Plan, passage: Pass) -> Message:
    """Return the setting of the pass's final: what the press and its own timer are set to."""
    return setting(plan, _final(passage))


def header(plan: Plan, passage: Pass) -> Message:
    """Return the press and the setting of the pass's final: `heron · 300 °F medium-firm 15 s`."""
    values: dict[str, Value] = {"unit": plan.unit.value, "press": plan.press}
    return _setting("setting.header", _final(passage), values)


def _final(passage: Pass) -> Step:
    return next(step for step in passage.steps if step.phase is Phase.FINAL)


def _setting(id_: str, step: Step, values: dict[str, Value]) -> Message:
    """The required pressure is one word, or a range where two are allowed."""
    low, high = step.pressure_low, step.pressure_high
    values |= {"temperature": step.temperature, "seconds": step.seconds}
    if low is None or high is None:
        return Message(f"{id_}_plain", values)
    if low is high:
        return Message(id_, values | {"pressure": say(f"pressure.{high.word}")})
    span = {"low": say(f"pressure.{low.word}"), "high": say(f"pressure.{high.word}")}
    return Message(f"{id_}_range", values | span)
