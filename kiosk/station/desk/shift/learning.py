"""What the shop has taught about cooling: β with its range and history, and forgetting it."""

import time

from kiosk.catalog.base import Message, say
from kiosk.heat.learn import Beta
from kiosk.peel.estimate import beta_of
from kiosk.run.state import Lesson, Lies, ResetLearning, State, Taught
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.people.people import SUPERVISOR
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.words import Words

WAYS = {Lies.LIFTED: "lifted", Lies.ON_PAD: "on_pad"}
LAST = 5  # lessons told, the newest first


def learning(desk: Desk, words: Words) -> Sheet:
    """How much slower or faster garments cool here than the model has it, and from what."""
    state = desk.shell.state
    told = [_range(words, state, lies) for lies in WAYS]
    history = [_lesson(desk, words, lesson) for lesson in reversed(state.lessons[-LAST:])]
    nothing = words("learning.nothing")
    return Sheet(
        title=words("learning.title"),
        headline=told[0] if history else nothing,
        second=told[1] if history else "",
        lines=(words("learning.line"), *(history or told)),
        choices=tuple(_reset(desk, words, lies) for lies in WAYS if lies.value in state.betas),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def _range(words: Words, state: State, lies: Lies) -> str:
    beta = beta_of(state, lies)
    known = "learned" if lies.value in state.betas else "assumed"
    known = "at_least" if beta.at_least else known
    return words(f"learning.{WAYS[lies]}.{known}", **_percent(beta))


def _percent(beta: Beta) -> dict[str, int]:
    return {
        "percent": round(100 * beta.factor),
        "low": round(100 * beta.low),
        "high": round(100 * beta.high),
    }


def _lesson(desk: Desk, words: Words, lesson: Lesson) -> str:
    at = time.strftime("%m-%d %H:%M", time.localtime(lesson.at.wall))
    way = say(f"learning.way.{WAYS.get(lesson.lies, 'lifted')}")
    if lesson.taught is None:
        return words("learning.reset_done", at=at, way=way)
    return words(
        f"learning.of.{_WORDS[lesson.taught]}",
        at=at,
        way=way,
        seen=round(lesson.seen_seconds),
        ready=round(lesson.ready_seconds),
        known=_known(lesson),
    )


def _known(lesson: Lesson) -> Message:
    """What was known after it: a range, or only its lower end."""
    low = round(100 * lesson.low)
    if lesson.at_least:
        return say("learning.known_at_least", low=low)
    percent, high = round(100 * lesson.factor), round(100 * lesson.high)
    return say("learning.known", percent=percent, low=low, high=high)


_WORDS = {
    Taught.GOOD_PEEL: "good_peel",
    Taught.LIFTED_EDGE: "lifted_edge",
    Taught.TOUCH: "touch",
    Taught.READING: "reading",
}


def _reset(desk: Desk, words: Words, lies: Lies) -> Button:
    label = words(f"learning.reset.{WAYS[lies]}")
    return Button(label, lambda: _forget(desk, lies), words("learning.reset_line"))


def _forget(desk: Desk, lies: Lies) -> None:
    desk.shell.do(ResetLearning(lies, SUPERVISOR))
    desk.go(Page.LEARNING)
