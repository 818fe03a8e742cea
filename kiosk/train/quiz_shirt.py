"""Quiz on the number: which hand lays which figure, and which numbers read as another one."""

from __future__ import annotations

from random import Random

from kiosk.catalog.faces import read_face
from kiosk.catalog.message import say
from kiosk.catalog.twins import twin
from kiosk.plan.placement import bed_of, lay_out
from kiosk.plan.placement_box import as_operator
from kiosk.train.quiz_question import Option, QuizQuestion, Subject, plain, question

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
