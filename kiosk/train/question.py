"""Quiz questions on numbers, steps, the cover sheet and common mistakes, with their options."""

from collections.abc import Mapping, Sequence
from random import Random

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import DyeRisk, Fabric, Material, Peel, Policy, Press, Recipe, SheetRule
from kiosk.catalog.roster import twin
from kiosk.catalog.rules import read_face
from kiosk.plan.model import Closing, PanelSettings, Phase, Plan, Purpose
from kiosk.plan.phrases import element_words, panel_word
from kiosk.plan.place import as_operator, bed_of, lay_out
from kiosk.train.practice.practice_words import step_name

MOST_WRONG = 3


@dataclass(frozen=True, slots=True)
class QuizOption:
    """An answer to choose; `why` explains it line by line, with the solver's reason if wrong."""

    text: Message
    right: bool
    why: tuple[Message, ...]


@dataclass(frozen=True, slots=True)
class QuizQuestion:
    """A question with two or more shuffled options, exactly one of them right."""

    kind: str
    ask: Message
    options: tuple[QuizOption, ...]

    @property
    def right(self) -> QuizOption:
        """The right option."""
        return next(option for option in self.options if option.right)


@dataclass(frozen=True, slots=True)
class Subject:
    """The subject of a quiz: a job's recipe, cloth and press, and the resulting plan."""

    recipe: Recipe
    fabric: Fabric
    press: Press
    policy: Policy
    materials: Mapping[str, Material]
    plan: Plan
    numbers: tuple[str, ...] = ()


def question(
    kind: str, ask: Message, right: QuizOption, wrong: Sequence[QuizOption], dice: Random
) -> QuizQuestion | None:
    """Return a question with up to three differently worded wrong options, or None if no wrong."""
    others = {(o.text.id, *o.text.values.items()): o for o in wrong if o.text != right.text}
    chosen = dice.sample(list(others.values()), min(MOST_WRONG, len(others)))
    if not chosen:
        return None
    options = [right, *chosen]
    dice.shuffle(options)
    return QuizQuestion(kind, ask, tuple(options))


def plain(text: str) -> Message:
    """Return the text of an option that is only a number or a word."""
    return say("quiz.plain", text=text)


SIZE = "AM"


def which_hand(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask on which hand's side one figure of a number lies."""
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
        QuizOption(say("quiz.left"), figure == left, (why,)),
        QuizOption(say("quiz.right"), figure != left, (why,)),
    ]
    right = next(option for option in options if option.right)
    ask = say(
        "quiz.ask.hand_toward" if turned else "quiz.ask.hand_away", number=number, figure=figure
    )
    return question("hand", ask, right, [o for o in options if not o.right], dice)


def figures_by_hand(subject: Subject, panel: str, number: str) -> tuple[str, str]:
    """Return the outermost figures of `number` at the operator's left and right hand."""
    plan = subject.plan
    whole = lay_out(bed_of(plan), panel, SIZE, {"number": number}, read_face())
    boxes = as_operator(whole.boxes, plan.collar_toward_operator)
    letters = next(box.letters for box in boxes if box.element == "number")
    ordered = sorted(letters, key=lambda letter: letter.x)
    return ordered[0].character, ordered[-1].character


def which_turns(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask which of several numbers reads as another number upside down."""
    every = [str(n) for n in range(100)]
    own = list(dict.fromkeys((*subject.numbers, *every)))
    turning = [n for n in own[: len(subject.numbers) or None] if twin(n)] or [
        n for n in every if twin(n)
    ]
    right = dice.choice(turning)
    steady = [n for n in own if not twin(n) and n.isdecimal()]
    wrong = [
        QuizOption(plain(n), False, (say("quiz.why.steady", number=n),))
        for n in dice.sample(steady, 3)
    ]
    why = say("quiz.why.turn", number=right, twin=twin(right))
    return question(
        "turn", say("quiz.ask.turn"), QuizOption(plain(right), True, (why,)), wrong, dice
    )


def what_first(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask which of several steps of one garment comes first."""
    passage = dice.choice(subject.plan.passes)
    steps = passage.steps
    indices = sorted(dice.sample(range(1, len(steps)), min(3, len(steps) - 1)))  # load: too easy
    first, *others = indices
    why = steps[first].why or say("plan.why.inspect")
    right = QuizOption(step_name(passage, first), True, (why,))
    reason = (say("quiz.why.first"), step_name(passage, first), why)
    wrong = [QuizOption(step_name(passage, index), False, reason) for index in others]
    ask = say("quiz.ask.first", panel=panel_word(passage.panel))
    return question("first", ask, right, wrong, dice)


def sheet_or_not(subject: Subject, dice: Random) -> QuizQuestion | None:
    """Ask whether the cover sheet goes on for one closing."""
    own = dice.choice(subject.plan.settings)
    closing = dice.choice(own.closings)
    rules = list(_sheet_rules(subject, own, closing))
    why = _why(closing, rules)
    options = {
        on: QuizOption(say(f"quiz.sheet_{word}"), on is closing.cover_sheet, (why,))
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


def _sheet_rules(
    subject: Subject, own: PanelSettings, closing: Closing
) -> list[tuple[Material, SheetRule]]:
    """Return each heated material with its cover sheet rule in this closing."""
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
        titles = tuple(dict.fromkeys(m.title for m, rule in rules if rule is SheetRule.REQUIRED))
        return say("quiz.why.sheet_on", titles=titles)
    forbids = tuple(dict.fromkeys(m.title for m, rule in rules if rule is SheetRule.FORBIDDEN))
    if forbids:
        return say("quiz.why.sheet_forbidden", titles=forbids)
    if any(rule is SheetRule.REQUIRED for _, rule in rules):
        return say("quiz.why.sheet_short", seconds=closing.dwell_seconds)
    return say("quiz.why.sheet_off")


HURTS = (
    ("hold", "always", "cold_press short_time light_pressure lint seam_under liner_on"),
    ("hold", "pre_press", "damp_cloth"),
    ("hold", "waits", "peel_early hung_hot"),
    ("hold", "hot", "peel_late"),
    ("hold", "carrier", "peel_high"),
    ("hold", "stack", "carrier_left"),
    ("heat", "sheet_on", "sheet_off sheet_crease sheet_dirty"),
    ("heat", "always", "hot_press long_time unasked went_dark"),
    ("heat hands", "always", "stays_closed"),
    ("heat", "dye", "dye"),
    ("heat", "groups", "second_closing"),
    ("heat", "tack", "tack_long"),
    ("place", "number", "six_nine digit_missing other_number"),
    ("place", "toward", "digit_order"),
    ("place", "name", "wrong_name"),
    ("place", "always", "wrong_size collar_wrong off_centre stretched too_low"),
    ("layers", "stack", "layers_swapped border_off"),
    ("hands", "always", "reach_in cord fumes"),
    ("hands", "carrier", "hot_film"),
)
"""Mistakes at a press: how they show (groups), what a job must have for them, and their kinds.

Each has a cause, a sign, a remedy, and what people wrongly do (common practice, no source).
Kinds of one group may share a sign, so they are never options of the same question.
"""

KINDS = {kind: (like, needs) for like, needs, kinds in HURTS for kind in kinds.split()}
FORMS = {
    "what_comes": ("cause", "sign"),
    "which_cause": ("sign", "cause"),
    "what_now": ("cause", "do"),
}


def what_hurts(kind: str, dice: Random) -> QuizQuestion | None:
    """Ask for a cause's sign, a sign's cause, or the remedy; other groups give wrong options."""
    form = dice.choice(list(FORMS))
    shown_part, asked_part = FORMS[form]
    groups = set(KINDS[kind][0].split())
    why = tuple(_hurt(kind, part) for part in ("cause", "sign", "do") if part not in FORMS[form])
    others = [each for each in KINDS if groups.isdisjoint(KINDS[each][0].split())]
    wrong = [_hurt(each, asked_part) for each in dice.sample(others, MOST_WRONG)]
    if asked_part == "do":
        wrong = [_hurt(kind, "wrong"), *wrong[1:]]
    ask = say(f"quiz.hurt.{form}", **{shown_part: _hurt(kind, shown_part)})
    right = QuizOption(_hurt(kind, asked_part), True, why)
    return question(kind, ask, right, [QuizOption(each, False, why) for each in wrong], dice)


def _hurt(kind: str, part: str) -> Message:
    return say(f"quiz.hurt.{kind}.{part}")


def features_of(subject: Subject) -> frozenset[str]:
    """Return the features of a job that decide which mistakes can be asked about."""
    plan = subject.plan
    steps = [step for passage in plan.passes for step in passage.steps]
    peels = {step.peel for step in steps if step.peel is not None}
    elements = {piece.element for piece in plan.pieces}
    features = {
        "always": True,
        "pre_press": any(step.phase is Phase.PRE_PRESS for step in steps),
        "tack": any(step.phase is Phase.TACK for step in steps),
        "stack": any(piece.layers > 1 for piece in plan.pieces),
        "carrier": bool(peels),
        "hot": Peel.HOT in peels,
        "waits": bool(peels - {Peel.HOT}),
        "sheet_on": any(step.sheet for step in steps),
        "groups": any(closing.group for own in plan.settings for closing in own.closings),
        "dye": subject.fabric.dye_risk is not DyeRisk.NONE,
        "number": "number" in elements,
        "toward": "number" in elements and plan.collar_toward_operator,
        "name": "name" in elements,
    }
    return frozenset(name for name, present in features.items() if present)
