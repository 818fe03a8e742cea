"""The forward bar: what pressing it confirms and starts."""

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Peel
from kiosk.plan.model import PeelPlace, Phase
from kiosk.plan.phrases import element_words, panel_word
from kiosk.run.decide.bar import BarMeaning
from kiosk.run.facts.checks import holds_lot
from kiosk.run.facts.moves import cools_on_rack, is_early, racked_at, wait_at
from kiosk.run.facts.peels import hot_at_press, peel_time
from kiosk.run.facts.questions import BarOwner, ScreenKind, question_at_hand
from kiosk.run.facts.tickets import label_of, next_ready, pass_of
from kiosk.run.show.parts import BarView
from kiosk.run.show.peeling import peels_ahead
from kiosk.run.show.scene import DARK, Moment, Scene
from kiosk.run.show.sentences import current_peels, hot_peels, layer_laid, move_parts, pieces_named
from kiosk.run.state import JobRun, Meaning, QuestionKind, Ticket, TicketStage, Verb

TAP = say("below.tap")
HANDS_CLEAR = say("below.hands_clear")

CONFIRMED: dict[Phase, str] = {
    Phase.LOAD: "load",
    Phase.LAY: "lay",
    Phase.LAY_TOP: "top",
    Phase.REMOVE_CARRIER: "carrier",
    Phase.COVER: "sheet",
    Phase.PEEL: "peel",
}
FIXED: dict[Verb, Message] = {
    Verb.OPENED: say("bar.opened"),
    Verb.PRESS_IS_OPEN: say("bar.press_is_open"),
    Verb.GO_ON: say("bar.go_on"),
    Verb.RESTART: say("bar.restart"),
}


def meaning_label(meaning: Meaning, scene: Scene) -> Message:
    """Return the label of a meaning about the press; `scene` is that of its ticket."""
    if meaning.verb is Verb.FINISH:
        return _finish(scene)
    return _confirm(scene) if meaning.verb is Verb.CONFIRM else _close(scene)


def label_after_heat(scene: Scene) -> Message:
    """Return what follows the current hot step, for a bar that refuses meanwhile."""
    step = scene.pressing
    if step.phase is Phase.FINAL:
        return _then_final(scene)
    after = scene.following(scene.move.first)
    own = scene.own_pieces(after.pieces)
    if not own:
        is_inspection = after.phase is Phase.INSPECT
        return say("bar.then.inspect" if is_inspection else "bar.then.nothing")
    if after.phase is Phase.REMOVE_CARRIER:
        peel = say(f"peel.{after.peel.word}") if after.peel is not None else ""
        return say("bar.then.carriers", count=len(own), peel=peel)
    lower = any(scene.pieces[name].layers > 1 for name in own)
    return say("bar.then.lower" if lower else "bar.then.lay", count=len(own))


def _then_final(scene: Scene) -> Message:
    ahead = peels_ahead(scene)
    if not ahead:
        return say("bar.then.inspect")
    peel = say(f"peel.{ahead[0].peel.word}") if ahead[0].peel is not None else ""
    if scene.passage.place is PeelPlace.RACK:
        if scene.passage.place_of(len(scene.passage.peels) - len(ahead)) is not PeelPlace.RACK:
            return say("bar.then.peel_rack", peel=peel)
        following = next_ready(scene.job, scene.ticket.id)
        if not following or holds_lot(scene.job, scene.ticket):
            return say("bar.then.rack")
        return say("bar.then.rack_load", number=label_of(scene.job.tickets[following]))
    if ahead[0].peel is Peel.HOT:
        return say("bar.then.peel_at_once", peel=peel)
    in_hand = scene.passage.place is PeelPlace.HAND
    return say("bar.then.peel_hand" if in_hand else "bar.then.peel", peel=peel)


def _close(scene: Scene) -> Message:
    hot, seconds = scene.hot, 0
    if hot is not None and hot.seconds is not None:
        seconds = hot.seconds
    if scene.leaving is not None:
        return _close_after_racking(scene, seconds)
    key = move_parts(scene) or "as_before"
    return say(f"bar.close.{key}", seconds=seconds, count=pieces_named(scene))


def _close_after_racking(scene: Scene, seconds: int) -> Message:
    """The same tap confirms that the last garment is on the rack: the label names both."""
    racked = "" if scene.leaving is None else label_of(scene.leaving)
    first = "peel" if hot_peels(scene) else "rack"
    load_word = "laid" if layer_laid(scene) or Phase.COVER in scene.phases else "loaded"
    sheet = "_sheet" if scene.sheet_comes_on else ""
    key = f"bar.close.{first}_{load_word}{sheet}"
    return say(key, racked=racked, number=label_of(scene.ticket), seconds=seconds)


def _confirm(scene: Scene) -> Message:
    """Confirms one hand step and names the next."""
    done, index = scene.steps[-1], scene.move.last + 1
    if scene.ticket.skipped and scene.passage.steps[index].phase is Phase.PRE_PRESS:
        index += 1  # it is skipped
    while index in scene.ticket.without:
        index += 1
    following = CONFIRMED.get(scene.passage.steps[index].phase, "inspect")
    if cools_on_rack(scene.passage) and index == racked_at(scene.passage, index):
        following = "rack"
    word = "move" if done.phase is Phase.LOAD and scene.is_shifted else CONFIRMED[done.phase]
    key = f"bar.confirm.{word}"
    return say(key, next=say(f"next.{following}"), count=len(done.pieces))


def _finish(scene: Scene) -> Message:
    """Names what comes next; the next pass of the same garment is not a new garment."""
    peeled = "_peeled" if current_peels(scene) else ""
    name = next_ready(scene.job, passed=scene.ticket.id)
    if not name:
        return say(f"bar.finish{peeled}.{_end_word(scene.job)}")
    following = scene.job.tickets[name]
    if following.garment.line != scene.ticket.garment.line:
        card = ".card" if holds_lot(scene.job, scene.ticket) else ""
        return say(f"bar.finish{peeled}{card}")
    ahead, panel = scene.plan.passes[following.passage], scene.passage.panel
    if ahead.part is not None and ahead.part.nth > 1 and ahead.panel == panel:
        pieces = tuple(f"{element}.1" for element in ahead.part.elements)
        return say(f"bar.finish{peeled}.again_part", elements=element_words(pieces))
    panel = ahead.panel
    return say(f"bar.finish{peeled}.again", panel=panel_word(panel))


def _end_word(job: JobRun) -> str:
    """Return what follows the last garment; a job of one garment, as in practice, has no last."""
    if job.rack:
        return "rack"
    alone = len({ticket.garment.line for ticket in job.tickets.values()}) == 1
    return "only" if alone else "last"


RACK_WHILE_CLOSED = say("below.rack")
RACK_ALONE = say("below.rack_alone")
WHEN_OPEN = say("below.when_open")
RACK_FIRST = say("below.rack_first")

Words = tuple[Message, Message]

REFUSED: dict[ScreenKind, Words] = {
    ScreenKind.ASK_CLOSED: (say("bar.choose"), say("below.touch")),
    ScreenKind.SETTING: (say("bar.setting"), say("below.setting")),
    ScreenKind.VERIFY: (say("bar.verify"), say("below.verify")),
    ScreenKind.TRIAL: (say("bar.trial"), say("below.verify")),
    ScreenKind.LOT: (say("bar.lot"), say("below.lot")),
    ScreenKind.DONE: (say("bar.done"), say("below.done")),
    ScreenKind.IDLE: (say("bar.no_job"), say("below.no_job")),
    ScreenKind.OFF: (say("bar.off"), say("below.off")),
    ScreenKind.NEW: (say("bar.no_job"), say("below.no_job")),
}


def bar_of(moment: Moment) -> BarView:
    """Return the bar; after touching a garment's chip, forward waits while the press is open."""
    bar = moment.bar
    if moment.touched is not None and moment.kind not in DARK:
        word = "stopped" if moment.touched.stage is TicketStage.STOPPED else "touched"
        label = say(f"bar.{word}", number=label_of(moment.touched))
        return BarView(label, say("below.leave_it"), BarOwner.NOBODY, None, bar.since)
    label, below = _words(moment)
    return BarView(label, below, bar.owner, bar.meaning, bar.since)


def bar_without_job(kind: ScreenKind, bar: BarMeaning) -> BarView:
    """Return the bar without a job at the press."""
    if bar.meaning is not None and bar.meaning.verb in FIXED:
        below = _below(bar.meaning.verb)
        return BarView(FIXED[bar.meaning.verb], below, bar.owner, bar.meaning, bar.since)
    label, below = REFUSED.get(kind, REFUSED[ScreenKind.IDLE])
    return BarView(label, below, BarOwner.NOBODY, None, bar.since)


def _words(moment: Moment) -> Words:
    meaning, scene = moment.bar.meaning, moment.scene
    if meaning is None:
        return _refused_words(moment)
    if meaning.verb is Verb.PEELED:
        return _peeled_words(moment, moment.job.tickets[meaning.ticket])
    if scene is not None and scene.goes_to_rack:
        return say("bar.go_on.rack"), TAP
    if meaning.verb in FIXED:
        return FIXED[meaning.verb], _below(meaning.verb)
    return _refused_words(moment) if scene is None else (meaning_label(meaning, scene), TAP)


def _below(verb: Verb) -> Message:
    """While the press is or may be closed, the only thing to confirm is that it is open."""
    return WHEN_OPEN if verb in (Verb.OPENED, Verb.PRESS_IS_OPEN) else TAP


def _peeled_words(moment: Moment, ticket: Ticket) -> Words:
    """Which peel of which garment is confirmed: only the last makes it good."""
    below = RACK_WHILE_CLOSED if moment.kind in DARK else RACK_FIRST
    if not moment.job.slot:
        below = RACK_ALONE
    peel = stage_peel(moment.job, ticket)
    if peel is None:
        return say("bar.peeled", number=label_of(ticket)), below
    return say("bar.peeled_stage", number=label_of(ticket), peel=peel), below


def stage_peel(job: JobRun, ticket: Ticket) -> Message | None:
    """Return the word for the next peel on the rack, None if it is the last or there is none."""
    if ticket.id == job.leaving and hot_at_press(job) is not None:
        return say("peel.hot")
    passage = pass_of(job, ticket)
    if (
        ticket.stage is not TicketStage.COOLING
        or ticket.peeled
        or not is_early(passage, ticket.step)
    ):
        return None
    wait = wait_at(passage, ticket.step)
    return None if wait is None else say(f"peel.{wait.peel.word}")


def _refused_words(moment: Moment) -> Words:
    if moment.kind is ScreenKind.HEAT and moment.scene is not None:
        return label_after_heat(moment.scene), HANDS_CLEAR
    if moment.kind is ScreenKind.ASK:
        question = question_at_hand(moment.job)
        asks_number = question is not None and question.ask is QuestionKind.NUMBER
        return say("bar.choose"), say("below.number" if asks_number else "below.size")
    if moment.kind is ScreenKind.HANDS:
        return _waiting_words(moment)
    return REFUSED.get(moment.kind, REFUSED[ScreenKind.IDLE])


def _waiting_words(moment: Moment) -> Words:
    """A result is needed; or there is nothing to load, and nothing on the rack is due."""
    scene = moment.scene
    if scene is None:
        return say("bar.wait"), say("below.wait")
    if scene.ticket.stage is TicketStage.UNKNOWN or moment.asks_how_it_peeled:
        return say("bar.choose"), say("below.result", number=label_of(scene.ticket))
    time = peel_time(moment.job, scene.ticket, moment.now)
    if time is None:
        return say("bar.wait"), say("below.wait")
    wait = wait_at(scene.passage, scene.ticket.step)
    peel = "" if wait is None else say(f"peel.{wait.peel.word}")
    return say("bar.then.rack_peel", number=label_of(scene.ticket), peel=peel), say("below.not_due")
