"""What a step says on paper: one sentence for each, with its pieces and numbers."""

from __future__ import annotations

from kiosk.catalog.message import Message, Value, say
from kiosk.plan.model import HOT_PHASES, Pass, Phase, Place, Plan, Step
from kiosk.plan.reasons import element_words


def phrase(plan: Plan, each: Pass, step: Step) -> Message:
    """Return the sentence of `step`, a step of `each`, a pass of `plan`."""
    if step.phase in HOT_PHASES:
        return _closing(plan, step)
    if step.phase is Phase.LOAD:
        side = "toward" if plan.collar_toward_operator else "away"
        return say(f"plan.step.load_{side}", panel=panel_word(each.panel))
    if step.phase in (Phase.LAY, Phase.LAY_TOP):
        return _lay(plan, each, step)
    if step.phase is Phase.PEEL and step is each.steps[-2] and each.place is not Place.PRESS:
        return _late_peel(each, step)
    if step.phase in (Phase.PEEL, Phase.REMOVE_CARRIER):
        word = "peel" if step.phase is Phase.PEEL else "carrier"
        return say(f"plan.step.{word}", peel=_peel(step), elements=element_words(step.pieces))
    return say("plan.step.cover" if step.phase is Phase.COVER else "plan.step.inspect")


PANELS = (
    "back",
    "front",
    "left-sleeve",
    "right-sleeve",
    "sleeve",
    "left-chest",
    "right-chest",
    "shorts",
)


def panel_word(panel: str) -> str:
    """Return the panel as a word to look up, or as the recipe writes it."""
    return f"@panel.{panel}" if panel in PANELS else panel


def _closing(plan: Plan, step: Step) -> Message:
    low, high = step.pressure_low, step.pressure_high
    values: dict[str, Value] = {
        "seconds": step.seconds,
        "temperature": f"{step.temperature} °{plan.unit.value}",
        "sheet": "@sheet.on" if step.sheet else "@sheet.off",
        "low": None if low is None else f"@pressure.{low.word}",
        "high": None if high is None else f"@pressure.{high.word}",
    }
    if step.phase is Phase.PRE_PRESS:
        return Message("plan.step.pre_press", values)
    word = "tack" if step.phase is Phase.TACK else "final"
    return Message(f"plan.step.{word}" if low is high else f"plan.step.{word}_range", values)


def _lay(plan: Plan, each: Pass, step: Step) -> Message:
    pieces = {p.name: p for p in plan.pieces if p.panel == each.panel}
    elements = element_words(step.pieces)
    colours = tuple(pieces[name].colour for name in step.pieces)
    top = "lay_top" if step.phase is Phase.LAY_TOP else "lay"
    if not any(colours):
        return say(f"plan.step.{top}", elements=elements)
    if len(set(colours)) == 1:
        return say(f"plan.step.{top}_colour", elements=elements, colours=colours[0])
    return say(f"plan.step.{top}_colours", elements=elements, colours=colours)


def _late_peel(each: Pass, step: Step) -> Message:
    """When to peel away from the press; an estimate is said with the range it is ready in."""
    wait = each.wait
    assert wait is not None, "a peel away from the press has a wait"
    id_ = "plan.step.peel_rack" if each.place is Place.RACK else "plan.step.peel_hand"
    values: dict[str, Value] = {
        "peel": _peel(step),
        "elements": element_words(step.pieces),
        "start": round(wait.from_seconds),
        "end": round(wait.to_seconds),
        "source": f"@{wait.source}",
    }
    if wait.ready is not None:
        id_ += "_about" if wait.late is not None else "_from"
        values |= {"low": round(wait.ready.low), "high": round(wait.ready.high)}
    return Message(id_, values)


def _peel(step: Step) -> str:
    return "" if step.peel is None else f"@peel.{step.peel.word}"
