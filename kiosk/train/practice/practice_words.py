"""Questions and explanations during a practice garment; names of steps and of things to touch."""

from dataclasses import replace
from random import Random

from kiosk.catalog.base import Message, dataclass, say
from kiosk.plan.model import Pass, Phase
from kiosk.train.practice.bench import AROUND
from kiosk.train.practice.levels import HelpLevel
from kiosk.train.practice.looks import BenchLook, SlipOutcome

MOST_CHOICES = 4
GO_ON = say("practice.go_on")


@dataclass(frozen=True, slots=True)
class PracticePage:
    """A page of practice: a title, lines, and choices of which `right` is the right one's index.

    `index` is the step. `look` is set if the page asks to look; `why` is true if it asks for the
    step's reason; `outcome` if it shows what a slip leads to; `put_right` is true if that did
    not happen, because the slip was put right in time. A page with one choice is only read.
    """

    title: Message
    lines: tuple[Message, ...]
    choices: tuple[Message, ...]
    right: int
    index: int
    look: BenchLook | None = None
    why: bool = False
    outcome: SlipOutcome | None = None
    put_right: bool = False


def ask_look(look: BenchLook, level: HelpLevel) -> PracticePage:
    """Return a look's question (is this right?), with a hint up to GUIDED."""
    hint = (look.hint,) if level <= HelpLevel.GUIDED else ()
    return PracticePage(
        say(f"practice.look.{look.name}"),
        (look.seen, look.required, *hint),
        (say(f"practice.look.{look.name}.fits"), say(f"practice.look.{look.name}.stop")),
        0 if look.slip is None else 1,
        look.index,
        look,
    )


def ask_next(passage: Pass, index: int, dice: Random) -> PracticePage:
    """Return the question which step of the pass comes next."""
    others = [n for n in range(len(passage.steps)) if n != index]
    wrong = dice.sample(others, min(MOST_CHOICES - 1, len(others)))
    choices = sorted([index, *wrong], key=lambda n: dice.random())
    return PracticePage(
        say("practice.what_next"),
        (),
        tuple(step_name(passage, n) for n in choices),
        choices.index(index),
        index,
    )


def ask_why(passage: Pass, index: int, dice: Random) -> PracticePage | None:
    """Return the question why a step is done, or None without its reason and another to choose."""
    own = passage.steps[index]
    steps = [
        step for step in passage.steps if step.phase is not own.phase
    ]  # all tacks have the same reason
    others = [
        why for why in dict.fromkeys(step.why for step in steps) if why not in (None, own.why)
    ]
    if own.why is None or not others:
        return None
    reasons = [own.why, *dice.sample(others, min(MOST_CHOICES - 2, len(others)))]
    choices = sorted(filter(None, reasons), key=lambda each: dice.random())
    title = say("practice.why", step=step_name(passage, index))
    return PracticePage(title, (), tuple(choices), choices.index(own.why), index, why=True)


def consequence_page(index: int, outcome: SlipOutcome) -> PracticePage:
    """Return the page on a slip let through: how the garment looks, why, the cost, the sign."""
    lines = tuple(outcome.say(part) for part in ("why", "costs", "seen"))
    return PracticePage(outcome.say("looks"), lines, (GO_ON,), 0, index, outcome=outcome)


def explain(page: PracticePage, passage: Pass) -> PracticePage:
    """Return the page after a wrong answer: the right answer and why, or what the slip costs."""
    look = page.look
    if look is not None and look.slip is not None and look.outcome is not None:
        outcome_page = consequence_page(page.index, look.outcome)
        return replace(
            outcome_page, lines=(*outcome_page.lines, say("practice.help_back")), put_right=True
        )
    why = passage.steps[page.index].why
    reasons: tuple[Message, ...] = (page.choices[page.right],)
    if page.look is not None:
        reasons = (page.look.seen, page.look.required, page.look.hint)
    elif why is not None:
        reasons = (*reasons, why)
    lines = (*reasons, say("practice.help_back"))
    return PracticePage(say("practice.not_so"), lines, (GO_ON,), 0, page.index)


_PLAIN = {
    Phase.LOAD: say("practice.step.load"),
    Phase.PRE_PRESS: say("practice.step.pre_press"),
    Phase.COVER: say("practice.step.cover"),
    Phase.FINAL: say("practice.step.final"),
    Phase.INSPECT: say("practice.step.inspect"),
}


def step_key(passage: Pass, index: int) -> str:
    """Return a step's key in the record: its phase and count within the pass (`tack 2`)."""
    phase = passage.steps[index].phase
    nth = sum(step.phase is phase for step in passage.steps[: index + 1])
    return f"{phase.value} {nth}"


def step_name(passage: Pass, index: int) -> Message:
    """Return a step's name, unique within its pass."""
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


def thing_name(thing: str) -> Message:
    """Return the name of a thing on the bench; a number's figures are named by position."""
    element, _, nth = thing.partition(".")
    if nth:
        return say("practice.thing.figure", nth=int(nth) + 1)
    known = element in AROUND or element in ("name", "number")
    return say(f"practice.thing.{element}") if known else say("practice.thing.piece", piece=element)
