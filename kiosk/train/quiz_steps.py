"""Quiz on the procedure: what comes first, and whether the cover sheet is on."""

from __future__ import annotations

from random import Random

from kiosk.catalog.message import Message, say
from kiosk.catalog.model import Material, SheetRule
from kiosk.plan.model import Closing, PanelSettings, Purpose
from kiosk.plan.phrases import panel_word
from kiosk.plan.reasons import element_words
from kiosk.train.quiz_question import Option, QuizQuestion, Subject, question
from kiosk.train.steps import step_name


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
        rule = material.sheet_carrier_on if carried else material.sheet_carrier_off
        found.append((material, rule))
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
