"""What an operator would do next at the station, by touches or directly."""

from __future__ import annotations

from collections.abc import Callable

from bench_hands import Touch
from bench_shop import Moments
from bench_taps import Taps

from kiosk.plan.model import Phase
from kiosk.run.decide.decide import bar_meaning
from kiosk.run.facts.hands import seconds_missing
from kiosk.run.facts.questions import ScreenKind, question_at_hand
from kiosk.run.state import commands
from kiosk.station.glass.app import StationWidget
from kiosk.station.glass.screens.ask import ChoiceButton
from kiosk.station.glass.widgets.buttons import NumberPad

UNREAD_SECONDS = 0.6  # a label has to be shown that long before a tap on it counts


def next_act(station: StationWidget) -> Touch | float | None:
    """Return the operator's next touch, or the seconds to wait first; None at the job's end."""
    state, now = station.shell.state, station.parts.now()
    view = station.shell.view(now)
    if state.job is None or view.kind is ScreenKind.DONE:
        return None
    young = UNREAD_SECONDS - (now.clock - max(bar_meaning(state, now).since, station.screen._since))
    missing = max(young, seconds_missing(state, now))
    if missing > 0:
        return missing + 0.01
    question = question_at_hand(state.job)
    if view.kind is ScreenKind.ASK and question is not None:
        return _answer(station, question.right)
    painted = station.screen._painted
    if view.bar.meaning is not None and painted is not None:
        return Touch(*painted.foot.bar.centre, on_down=False)
    if view.countdown is not None and view.countdown.left > 0:
        return min(1.0, view.countdown.left + 0.01)
    return 1.0


def _answer(station: StationWidget, right: str) -> Touch:
    """Return the last touch of an answer: the choice, or Enter after its figures are typed."""
    pad = next((each for each in station.walk() if isinstance(each, NumberPad)), None)
    if pad is None:
        buttons = [each for each in station.walk() if isinstance(each, ChoiceButton)]
        return Touch(*next(b for b in buttons if b.text == right).box.centre, on_down=True)
    if pad.value != right:
        while pad.value:
            pad.erase()
        for figure in right:
            pad.press(figure)
    enter = station.words("work.enter")
    return Touch(*next(b for b in pad.buttons if b.label == enter).box.centre, on_down=True)


def on_to_a_final(station: StationWidget, moments: Moments) -> None:
    """Work, without touches, until the first garment's final press is counting down."""
    while True:
        view = station.shell.view(moments())
        time_left = view.countdown
        if view.kind is ScreenKind.HEAT and view.phase is Phase.FINAL and time_left is not None:
            if time_left.counting_in > 0:
                moments.skip(time_left.counting_in)
            break
        _work_on(station, moments)
    station.shell.tick()
    station.refresh()


def _work_on(station: StationWidget, moments: Moments) -> None:
    act, shell, now = next_act(station), station.shell, moments()
    meaning = shell.view(now).bar.meaning
    job = shell.state.job
    question = None if job is None else question_at_hand(job)
    if not isinstance(act, Touch):
        moments.skip(act or 1.0)
        shell.tick()
    elif meaning is not None:
        shell.work(commands.Forward(meaning, now.clock))
    elif question is not None:
        shell.work(commands.AnswerQuestion(question.right))
    station.refresh()


def tap_station(
    station: StationWidget, moments: Moments, count: int, done: Callable[[list[float]], None]
) -> Taps:
    """Press garments as an operator would, with each event on disk before it shows."""
    store = station.parts.recorder.store
    return Taps(count, lambda: next_act(station), lambda: store.last, moments.skip, done)
