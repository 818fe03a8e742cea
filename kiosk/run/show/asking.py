"""What is read from a garment or the press and entered, before any heat."""

from __future__ import annotations

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import Plan
from kiosk.run.facts.naming import called
from kiosk.run.facts.tickets import pressing_order
from kiosk.run.show.parts import Choice
from kiosk.run.show.scene import Scene
from kiosk.run.show.sentences import rack_first
from kiosk.run.state.model import Ask, Changed, Question, Ticket

MOST_FIGURES = 3

# In this order: SayClosed(True), SayClosed(False).
CLOSED_OR_NOT = Choice(
    title=say("move.ask_closed"),
    line=say("ask.line.closed"),
    foot=say("line.clock_runs"),
    answers=(say("ask.closed"), say("ask.not_closed")),
)


def ask_garment(
    question: Question, plan: Plan, ticket: Ticket | None, scene: Scene | None
) -> Choice:
    """Return the size or number question: never "OK?"; the answer is shown after a wrong one.

    What still lies on the platen of `scene` is racked before another garment is taken up.
    """
    what, title = question.ask.value, f"ask.title.{question.because.name.lower()}"
    later = question.because is Changed.LATER_PASS and question.ask is Ask.NUMBER
    later = later and (ticket is None or number_there(plan, ticket))
    shorts = ticket is not None and plan.passes[ticket.passage].panel == "shorts"
    label = "_waistband" if shorts and question.ask is Ask.SIZE else ""
    return Choice(
        title=rack_first(scene, title) or say(title),
        line=say("ask.line.on_shirt" if later else f"ask.line.{what}{label}"),
        foot=say("ask.foot.again", right=question.right)
        if question.tries
        else say(f"ask.foot.{what}"),
        choices=question.choices,
        pad=question.ask is Ask.NUMBER and _is_figures(question.right),
    )


def number_there(plan: Plan, ticket: Ticket) -> bool:
    """Return whether a pass of this garment that is pressed already has laid a number."""
    order = pressing_order(plan)
    before = order[: order.index(ticket.passage) + bool(ticket.finals)]
    laid = (name for n in before for step in plan.passes[n].steps for name in step.pieces)
    return any(name.startswith("number.") for name in laid)


def _is_figures(number: str) -> bool:
    """Whether a number can be entered on a pad, its zeros in front as they are."""
    return number.isascii() and number.isdecimal() and len(number) <= MOST_FIGURES


def ask_setting(scene: Scene, needed: str, last: int | None) -> Choice:
    """Return the setting question, whole degrees of the plan's unit; `last` is what was read.

    What is asked for is told first; what the press shows is entered on a page that hides it.
    """
    values: dict[str, Value] = {"temperature": needed, "unit": scene.plan.unit.value}
    racked = scene.leaving
    return Choice(
        title=say("ask.title.set", **values)
        if racked is None
        else say("ask.title.set_rack", racked=called(racked), **values),
        line=say("ask.line.setting"),
        foot=_setting_foot(scene, int(needed), last),
        blind=(say("ask.blind.setting"), say("ask.blind.line")),
    )


def _setting_foot(scene: Scene, needed: int, last: int | None) -> Message:
    """How far off the press may be, or what to do where what it showed was too far off."""
    tolerance = scene.job.rules.tolerance
    values: dict[str, Value] = {"unit": scene.plan.unit.value, "tolerance": tolerance}
    if last is None or abs(last - needed) <= tolerance:  # read for another setting
        return say("ask.foot.setting" if tolerance else "ask.foot.setting_exact", **values)
    return say(
        "ask.foot.setting_cold" if last < needed else "ask.foot.setting_hot", last=last, **values
    )
