"""The current hand move and peel times as sentences."""

from math import ceil, floor, inf

from kiosk.catalog.base import Message, Value, say
from kiosk.catalog.model import Peel
from kiosk.plan.group import elements_of
from kiosk.plan.model import LAYING, Phase, Step
from kiosk.run.facts import (
    PeelTime,
    PeelZone,
    hot_window,
    label_of,
    lacking,
    pass_of,
    peel_time,
    racked_at,
    zone_at,
)
from kiosk.run.show.scene import Scene
from kiosk.run.state import JobRun, Now, Ticket, elapsed, replace

PRESSING: dict[Phase, Message] = {
    Phase.PRE_PRESS: say("move.pre_press"),
    Phase.TACK: say("move.tack"),
    Phase.FINAL: say("move.final"),
}


def move_sentence(scene: Scene) -> Message:
    """Return what the hands do next on the scene's ticket."""
    if Phase.PEEL in scene.phases or Phase.INSPECT in scene.phases:
        return _ending(scene)
    if scene.leaving is not None and Phase.LOAD in scene.phases:
        return _after_racking(scene)
    if carriers_wait(scene):
        carriers = carrier_steps(scene)
        return say("move.wait_carrier", count=pieces_named(scene), peel=peel_words(carriers[:1]))
    key = move_parts(scene)
    return say(f"move.{key or 'close'}", count=pieces_named(scene))


def quick_sentence(scene: Scene) -> Message:
    """Return the question about a move that was confirmed too quickly to be done."""
    if any(step.wait is not None for step in scene.steps):
        return say("move.quick.peel")
    if layer_laid(scene):
        return say("move.quick.laid")
    if Phase.LOAD in scene.phases:
        return say("move.quick.loaded")
    if Phase.PEEL in scene.phases:
        return say("move.quick.peel")
    frees_carriers = Phase.REMOVE_CARRIER in scene.phases
    return say("move.quick.carriers" if frees_carriers else "move.quick.sheet")


def is_due_since(scene: Scene) -> bool:
    """Whether the peel that was asked about as too soon has become due meanwhile."""
    return quick_sentence(scene).id == "move.quick.peel" and not not_due(scene)


def move_parts(scene: Scene) -> str:
    """Return the parts of a move before a closing as one key: `carrier_top_sheet`."""
    first = next((word for phase, word in _FIRST if phase in scene.phases), "")
    first = "" if first == "carrier" and not freed_count(scene) else first
    first = (
        "move" if first == "load" and scene.is_shifted else "load" if scene.is_repress else first
    )
    sheet = "sheet" if scene.sheet_comes_on else ""
    return "_".join(part for part in (first, layer_laid(scene), sheet) if part)


def layer_laid(scene: Scene) -> str:
    """Return which layer the move lays: lower, next, top; rest after a tack; lay; or ""."""
    laid = [scene.pieces[name] for step in _laying(scene) for name in scene.own_pieces(step.pieces)]
    if not laid:
        return ""
    if Phase.LAY_TOP in scene.phases:
        return "top" if all(piece.layer == piece.layers for piece in laid) else "next"
    if any(piece.layers > 1 for piece in laid):
        return "lower"
    before = scene.passage.steps[: scene.move.first]
    return "rest" if any(step.phase is Phase.TACK for step in before) else "lay"


def pieces_named(scene: Scene) -> int:
    """Return how many pieces the move names first: those freed, else those laid."""
    return freed_count(scene) or sum(len(scene.own_pieces(step.pieces)) for step in _laying(scene))


def freed_count(scene: Scene) -> int:
    """Return how many carriers come off in the move."""
    return sum(len(step.pieces) for step in carrier_steps(scene))


def current_peels(scene: Scene) -> tuple[Step, ...]:
    """Return the current peel steps; none once its carriers are off."""
    if scene.ticket.peeled:
        return ()
    return tuple(s for s in scene.steps if s.phase is Phase.PEEL and not scene.frees_nothing(s))


def hot_peels(scene: Scene) -> tuple[Step, ...]:
    """Return the peels of the leaving garment before it goes to the rack."""
    ticket = scene.leaving
    if ticket is None:
        return ()
    passage = pass_of(scene.job, ticket)
    steps = passage.steps[ticket.step : racked_at(passage, ticket.step) or 0]
    lacks = set(lacking(ticket.garment, scene.nameless))
    peels_now = (step for step in steps if step.phase is Phase.PEEL)
    return tuple(s for s in peels_now if not (lacks and lacks.issuperset(elements_of(s.pieces))))


def must_wait(scene: Scene) -> bool:
    """Whether the only current peel is not due yet."""
    at_hand = current_peels(scene)
    return len(at_hand) == 1 and at_hand[0].peel is not Peel.HOT and not_due(scene)


def carrier_steps(scene: Scene) -> tuple[Step, ...]:
    """Return the current steps in which carriers of the garment come off, the hottest first."""
    steps = (step for step in scene.steps if step.phase is Phase.REMOVE_CARRIER)
    return tuple(
        replace(step, pieces=own) for step in steps if (own := scene.own_pieces(step.pieces))
    )


def carriers_wait(scene: Scene) -> bool:
    """Whether a tack's carriers are not due yet, so that there is nothing else to do."""
    steps = carrier_steps(scene)
    if not steps or any(step.wait is None for step in steps):
        return False
    return not_due(scene)


def not_due(scene: Scene) -> bool:
    """Whether the next peel or carrier of the scene's garment is not due yet."""
    time = peel_time(scene.job, scene.ticket, scene.now)
    return time is not None and time.from_seconds > 0


_FIRST = ((Phase.LOAD, "load"), (Phase.REMOVE_CARRIER, "carrier"))


def _laying(scene: Scene) -> tuple[Step, ...]:
    return tuple(step for step in scene.steps if step.phase in LAYING)


def _after_racking(scene: Scene) -> Message:
    leaving = scene.leaving
    values: dict[str, Value] = {
        "number": label_of(scene.ticket),
        "racked": "" if leaving is None else label_of(leaving),
    }
    if hot := hot_peels(scene):
        return say("move.peel_load", **values, peel=peel_words(hot))
    lay, sheet = "_lay" if layer_laid(scene) else "", "_sheet" if scene.sheet_comes_on else ""
    return say(f"move.rack_load{lay}{sheet}", **values)


def _ending(scene: Scene) -> Message:
    """Peel and inspect, peel, or inspect; one move for a garment on the rack."""
    at_hand = () if scene.goes_to_rack else current_peels(scene)
    look = "_inspect" if Phase.INSPECT in scene.phases else ""
    if not at_hand:
        return say("move.sheet_off_inspect" if scene.sheet_before else "move.inspect")
    if must_wait(scene):
        return say("move.wait_peel", peel=peel_words(at_hand))
    if len(at_hand) == 1:
        return say(f"move.peel{look}", peel=peel_words(at_hand))
    if len(at_hand) == 2:
        return say(
            f"move.peel_twice{look}", peel=peel_words(at_hand[:1]), then=peel_words(at_hand[1:])
        )
    return say(f"move.peel_all{look}", peel=peel_words(at_hand))


def do_first(scene: Scene | None, then: Value) -> Message | None:
    """Return what hands must do before a page that asks something, and `then`; None if nothing.

    A hot tack's carriers come off before they are cold, also if the press has to be set again
    first, and the garment before this one leaves the platen.
    """
    if scene is None:
        return None
    leaving = scene.leaving
    if leaving is None:
        carriers = carrier_steps(scene)
        at_once = bool(carriers) and scene.steps[0].phase is Phase.REMOVE_CARRIER
        if at_once and carriers[0].peel is Peel.HOT:
            return say("ask.first.carriers", count=freed_count(scene), then=then)
        return None
    values: dict[str, Value] = {"racked": label_of(leaving), "then": then}
    if hot := hot_peels(scene):
        return say("ask.first.peel", **values, peel=peel_words(hot))
    return say("ask.first.rack", **values)


def peel_words(steps: tuple[Step, ...]) -> Value:
    """Return the peels of `steps` as words to look up."""
    words = tuple(say(f"peel.{step.peel.word}") for step in steps if step.peel is not None)
    return words[0] if len(words) == 1 else words


FIVES = 5  # seconds are shown in fives: nobody needs a stopwatch
QUARTERS = 15
MINUTES_FROM = 120
LAST_SECONDS = 60  # of an open window


def hot_words(job: JobRun, ticket: Ticket, now: Now) -> Message | None:
    """Return what is left of the hot window at the press; None if nothing is peeled hot."""
    window = hot_window(job, ticket)
    if window is None or ticket.opened is None:
        return None
    waited, certain = elapsed(ticket.opened, now)
    if not certain or waited >= window.late:
        return say(f"time.hot.late{window.suffix}")
    if waited >= window.low:
        return say(f"time.hot.closing{window.suffix}")
    low, high = floor(window.low - waited), ceil(window.high - waited)
    range_ = "" if high > low + 1 else ".one"
    return say(f"time.hot{range_}{window.suffix}", low=low, high=high)


def zone_words(prefix: str, time: PeelTime) -> Message:
    """Return the zone's sentence `<prefix>.<zone>`; ranges count down to the start of "now"."""
    if time.from_seconds == inf:
        return say(f"{prefix}.never")
    certainty = _certainty(time)
    ready = zone_at(time)
    if ready is PeelZone.LATE:
        return say(f"{prefix}.late{certainty}")
    if ready is PeelZone.NOW:
        return _now_words(prefix, time, certainty)
    if time.window or time.low == time.high:  # a single moment is not a range
        return _window_words(prefix, time, certainty)
    if time.low < MINUTES_FROM:
        unit = FIVES if time.from_seconds < MINUTES_FROM else QUARTERS
        low, high = _span(time, unit)
        return say(f"{prefix}.seconds{certainty}", low=low * unit, high=high * unit)
    low, high = _span(time, 60)
    return say(f"{prefix}.minutes{certainty}", low=low, high=high)


def _certainty(time: PeelTime) -> str:
    """The suffix for how sure the sentence is; a guess comes first."""
    if time.guessed:
        return "_guess"
    return "_about" if time.uncertain else "_if_lifted" if time.assumed else ""


def _now_words(prefix: str, time: PeelTime, certainty: str) -> Message:
    """Shows what is left of a written window near its end."""
    guess = certainty if time.guessed else ""
    if time.window and certainty == guess and not time.uncertain and time.to_seconds < LAST_SECONDS:
        left = floor(time.to_seconds / FIVES) * FIVES
        return say(f"{prefix}.left{guess}", left=left) if left else say(f"{prefix}.closing{guess}")
    return say(f"{prefix}.closing{guess}" if time.closing <= 0 else f"{prefix}.now{certainty}")


def _window_words(prefix: str, time: PeelTime, certainty: str) -> Message:
    """A written window, rounded inward: its start, and its end only if near."""
    end = time.high if time.window else time.to_seconds
    low, high = ceil(time.low / FIVES) * FIVES, floor(end / FIVES) * FIVES
    if high < MINUTES_FROM:
        return say(f"{prefix}.from_by{certainty}", low=low, high=max(low, high))
    if low < MINUTES_FROM:
        return say(f"{prefix}.from{certainty}", low=low)
    return say(f"{prefix}.from_minutes{certainty}", low=ceil(time.low / 60))


def _span(time: PeelTime, unit: int) -> tuple[int, int]:
    """The range in whole units, never narrower than the estimate."""
    low = max(0, floor(time.low / unit))
    return low, max(low + 1, ceil(time.high / unit))
