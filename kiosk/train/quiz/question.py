"""Questions of the quiz with their options; those on the number, the procedure and the sheet."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from random import Random

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import Fabric, Material, Policy, Press, Recipe, SheetRule
from kiosk.catalog.roster import twin
from kiosk.catalog.rules import read_face
from kiosk.plan.model import Closing, PanelSettings, Plan, Purpose
from kiosk.plan.phrases import element_words, panel_word
from kiosk.plan.place import as_operator, bed_of, lay_out
from kiosk.train.practice.levels import step_name

MOST_WRONG = 3


@dataclass(frozen=True, slots=True)
class Option:
    """An answer to choose; `why` explains it line by line: the solver's reason if it is wrong."""

    text: Message
    right: bool
    why: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class QuizQuestion:
    """A question of a kind with exactly one right option among two or more, shuffled."""

    kind: str
    ask: Message
    options: tuple[Option, ...]

    @property
    def right(self) -> Option:
        """The right option."""
        return next(option for option in self.options if option.right)


@dataclass(frozen=True, slots=True)
class Subject:
    """What is asked about: a job's recipe, cloth and press, and the plan that they come to."""

    recipe: Recipe
    fabric: Fabric
    press: Press
    policy: Policy
    materials: Mapping[str, Material]
    plan: Plan
    numbers: tuple[str, ...] = ()


def question(
    kind: str, ask: Message, right: Option, wrong: Sequence[Option], dice: Random
) -> QuizQuestion | None:
    """Return the question with up to three of `wrong`, all said differently; None without any."""
    others = {(o.text.id, *o.text.values.items()): o for o in wrong if o.text != right.text}
    taken = dice.sample(list(others.values()), min(MOST_WRONG, len(others)))
    if not taken:
        return None
    options = [right, *taken]
    dice.shuffle(options)
    return QuizQuestion(kind, ask, tuple(options))


def plain(text: str) -> Message:
    """Return an option that is only a number or a word."""
    return say("quiz.plain", text=text)


SIZE = "AM"


def which_hand(subject: Subject, dice: Random) -> QuizQuestion | None:
    """The shirt gets a number: at which hand does one of its figures lie?"""
    panels = [p.panel for p in subject.plan.pieces if p.element == "number"]
    if not panels:
        return None
    own = [n for n in subject.numbers if len(n) == 2 and n.isdecimal() and n[0] != n[1]]
    number = dice.choice(own or ["14", "27", "46", "73"])
    figure = dice.choice(number)
    left, _ = figures_by_hand(subject, panels[0], number)
    turned = subject.plan.collar_toward_operator
    why = say("quiz.why.hand_turned" if turned else "quiz.why.hand", number=number, figure=figure)
    options = [
        Option(say("quiz.left"), figure == left, (why,)),
        Option(say("quiz.right"), figure != left, (why,)),
    ]
    right = next(option for option in options if option.right)
    ask = say(
        "quiz.ask.hand_toward" if turned else "quiz.ask.hand_away", number=number, figure=figure
    )
    return question("hand", ask, right, [o for o in options if not o.right], dice)


def figures_by_hand(subject: Subject, panel: str, number: str) -> tuple[str, str]:
    """Return the outermost figures of `number` at the left and the right hand, as placed."""
    plan = subject.plan
    whole = lay_out(bed_of(plan), panel, SIZE, {"number": number}, read_face())
    seen = as_operator(whole.boxes, plan.collar_toward_operator)
    letters = next(box.letters for box in seen if box.element == "number")
    ordered = sorted(letters, key=lambda letter: letter.x)
    return ordered[0].character, ordered[-1].character


def which_turns(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Which of these numbers reads as another one upside down?"""
    every = [str(n) for n in range(100)]
    own = list(dict.fromkeys((*subject.numbers, *every)))
    turning = [n for n in own[: len(subject.numbers) or None] if twin(n)] or [
        n for n in every if twin(n)
    ]
    right = dice.choice(turning)
    steady = [n for n in own if not twin(n) and n.isdecimal()]
    wrong = [
        Option(plain(n), False, (say("quiz.why.steady", number=n),)) for n in dice.sample(steady, 3)
    ]
    why = say("quiz.why.turn", number=right, twin=twin(right))
    return question("turn", say("quiz.ask.turn"), Option(plain(right), True, (why,)), wrong, dice)


def what_first(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Which of these steps of one garment comes first?"""
    passage = dice.choice(subject.plan.passes)
    steps = passage.steps
    taken = sorted(dice.sample(range(1, len(steps)), min(3, len(steps) - 1)))  # load: too easy
    first, *others = taken
    why = steps[first].why or say("plan.why.inspect")
    right = Option(step_name(passage, first), True, (why,))
    reason = (say("quiz.why.first"), step_name(passage, first), why)
    wrong = [Option(step_name(passage, index), False, reason) for index in others]
    ask = say("quiz.ask.first", panel=panel_word(passage.panel))
    return question("first", ask, right, wrong, dice)


def sheet_or_not(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Does the cover sheet go on for this closing?"""
    own = dice.choice(subject.plan.settings)
    closing = dice.choice(own.closings)
    rules = list(_askers(subject, own, closing))
    why = _why(closing, rules)
    options = {
        on: Option(say(f"quiz.sheet_{word}"), on is closing.cover_sheet, (why,))
        for on, word in ((True, "on"), (False, "off"))
    }
    kind = "tack" if closing.purpose is Purpose.TACK else "final"
    ask = say(
        f"quiz.ask.sheet_{kind}",
        panel=own.panel,
        pieces=closing.pieces,
        elements=element_words(closing.pieces),
        layer=closing.pieces[0].rpartition(".")[2],
        seconds=closing.dwell_seconds,
    )
    wrong = [options[not closing.cover_sheet]]
    return question("sheet", ask, options[closing.cover_sheet], wrong, dice)


def _askers(
    subject: Subject, own: PanelSettings, closing: Closing
) -> list[tuple[Material, SheetRule]]:
    """What each face under the platen asks of the sheet in this closing."""
    pieces = {p.name: p for p in subject.plan.pieces if p.panel == own.panel}
    tack = closing.purpose is Purpose.TACK
    found = []
    for name in closing.heated:
        piece = pieces[name]
        material = subject.materials[piece.material]
        single = piece.layers == 1 and material.carrier
        carried = name in closing.pieces and (tack or single)
        found.append((material, material.sheet_rule(carried)))
    return found


def _why(closing: Closing, rules: list[tuple[Material, SheetRule]]) -> Message:
    if closing.cover_sheet:
        asks = tuple(dict.fromkeys(m.title for m, rule in rules if rule is SheetRule.REQUIRED))
        return say("quiz.why.sheet_on", titles=asks)
    forbids = tuple(dict.fromkeys(m.title for m, rule in rules if rule is SheetRule.FORBIDDEN))
    if forbids:
        return say("quiz.why.sheet_forbidden", titles=forbids)
    if any(rule is SheetRule.REQUIRED for _, rule in rules):
        return say("quiz.why.sheet_short", seconds=closing.dwell_seconds)
    return say("quiz.why.sheet_off")
