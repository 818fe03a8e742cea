"""The forward bar of each kind of screen."""

from __future__ import annotations

from kiosk.catalog.message import Message, say
from kiosk.run.bar_label import FIXED, HANDS_CLEAR, TAP, meant, then
from kiosk.run.commands import Verb
from kiosk.run.meaning import BarMeaning
from kiosk.run.model import Ask, Stage, Ticket
from kiosk.run.moment import DARK, Moment
from kiosk.run.naming import called
from kiosk.run.questions import question_at_hand
from kiosk.run.rack import peel_time
from kiosk.run.stages import is_early, wait_at
from kiosk.run.views import Bar, Kind, Owner

RACK_WHILE_CLOSED = say("below.rack")
RACK_ALONE = say("below.rack_alone")
WHEN_OPEN = say("below.when_open")
RACK_FIRST = say("below.rack_first")

Words = tuple[Message, Message]

REFUSED: dict[Kind, Words] = {
    Kind.ASK_CLOSED: (say("bar.choose"), say("below.touch")),
    Kind.SETTING: (say("bar.setting"), say("below.setting")),
    Kind.VERIFY: (say("bar.verify"), say("below.verify")),
    Kind.TRIAL: (say("bar.trial"), say("below.verify")),
    Kind.LOT: (say("bar.lot"), say("below.lot")),
    Kind.DONE: (say("bar.done"), say("below.done")),
    Kind.IDLE: (say("bar.no_job"), say("below.no_job")),
    Kind.OFF: (say("bar.off"), say("below.off")),
    Kind.NEW: (say("bar.no_job"), say("below.no_job")),
}


def bar_shown(moment: Moment) -> Bar:
    """Return the bar; while a finger has touched a garment of the rack, an open press waits."""
    means = moment.means
    if moment.touched is not None and moment.kind not in DARK:
        label = say("bar.touched", number=called(moment.touched))
        return Bar(label, say("below.touched"), Owner.NOBODY, None, means.since)
    label, below = _words(moment)
    return Bar(label, below, means.owner, means.meaning, means.since)


def bar_without_job(kind: Kind, means: BarMeaning) -> Bar:
    """Return the bar where no job is at the press."""
    if means.meaning is not None and means.meaning.verb in FIXED:
        below = _below(means.meaning.verb)
        return Bar(FIXED[means.meaning.verb], below, means.owner, means.meaning, means.since)
    label, below = REFUSED.get(kind, REFUSED[Kind.IDLE])
    return Bar(label, below, Owner.NOBODY, None, means.since)


def _words(moment: Moment) -> Words:
    meaning, scene = moment.means.meaning, moment.scene
    if meaning is None:
        return _refused(moment)
    if meaning.verb is Verb.PEELED:
        return _peeled(moment, moment.job.tickets[meaning.ticket])
    if scene is not None and scene.goes_to_rack:
        return say("bar.go_on.rack"), TAP
    if meaning.verb in FIXED:
        return FIXED[meaning.verb], _below(meaning.verb)
    return _refused(moment) if scene is None else (meant(meaning, scene), TAP)


def _below(verb: Verb) -> Message:
    """While the press is or may be closed nothing else is offered than to say that it is open."""
    return WHEN_OPEN if verb in (Verb.OPENED, Verb.PRESS_IS_OPEN) else TAP


def _peeled(moment: Moment, ticket: Ticket) -> Words:
    """Which peel of which garment is confirmed: only the last makes it good."""
    below = RACK_WHILE_CLOSED if moment.kind in DARK else RACK_FIRST
    if not moment.job.slot:
        below = RACK_ALONE
    passage = moment.job.plan.passes[ticket.passage]
    wait = wait_at(passage, ticket.step)
    if wait is None or ticket.peeled or not is_early(passage, ticket.step):
        return say("bar.peeled", number=called(ticket)), below
    return say("bar.peeled_stage", number=called(ticket), peel=say(f"peel.{wait.peel.word}")), below


def _refused(moment: Moment) -> Words:
    if moment.kind is Kind.HEAT and moment.scene is not None:
        return then(moment.scene), HANDS_CLEAR
    if moment.kind is Kind.ASK:
        question = question_at_hand(moment.job)
        number = question is not None and question.ask is Ask.NUMBER
        return say("bar.choose"), say("below.number" if number else "below.size")
    if moment.kind is Kind.HANDS:
        return _waiting(moment)
    return REFUSED.get(moment.kind, REFUSED[Kind.IDLE])


def _waiting(moment: Moment) -> Words:
    """A result is to be touched; or nothing to load, and nothing of the rack is due."""
    scene = moment.scene
    if scene is None:
        return say("bar.wait"), say("below.wait")
    if scene.ticket.stage is Stage.UNKNOWN or moment.asks_how_it_peeled:
        return say("bar.choose"), say("below.result", number=called(scene.ticket))
    time = peel_time(moment.job, scene.ticket, moment.now)
    if time is None:
        return say("bar.wait"), say("below.wait")
    wait = wait_at(scene.passage, scene.ticket.step)
    peel = "" if wait is None else say(f"peel.{wait.peel.word}")
    return say("bar.then.rack_peel", number=called(scene.ticket), peel=peel), say("below.not_due")
