"""One real view for every picture of the work screen, by name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from view_cases import COLD, HOT, LINES, WARM, Station, one_layer, two_layers

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.house import Range
from kiosk.plan.heat.waits import FROM_ESTIMATE, FROM_GUESS, with_guess
from kiosk.plan.model import PeelPlace, PeelWait, Plan
from kiosk.run.show.parts import View
from kiosk.run.state import commands as c
from kiosk.run.state.model import ConfirmMode, Garment, TicketStage

NAMES = {"1": "KOVA", "2": "LINDQVIST", "3": "ÑANDÚ", "4": "", "5": "DE LA CRUZ-ORTEGA"}
MANY = (*LINES, Garment("5", "9", "A2X", "e"), Garment("6", "16", "YM", "f"))

Made = tuple[View, Plan]


def names(line: str) -> str:
    """Return the name of a made-up roster line."""
    return NAMES.get(line, "")


def _stacked(taps: int, confirm: ConfirmMode = ConfirmMode.GROUPED) -> Made:
    """Return the two-layer job after its question and some presses."""
    plan = two_layers(opens_itself=False)
    station = Station(plan, confirm)
    station.answer()
    for _ in range(taps):
        station.press()
        station.clock += 4
    return station.see(), plan


def _called_again() -> Made:
    """Return a garment put aside after its first tack and called again after another."""
    plan = two_layers(opens_itself=False)
    station = Station(plan, lines=LINES[:2])
    station.answer()
    station.press()
    station.press()
    station.clock += 5
    station.do(c.PutAside("later"))
    while (shown := station.answer()).line != "1":
        station.clock += 4
        station.tap() if shown.inspecting else station.press()
    return shown, plan


def _in_heat(taps: int, plan: Plan, seconds: float) -> Made:
    station = Station(plan)
    station.answer()
    for _ in range(taps):
        station.press()
        station.clock += 2
    station.tap()
    station.clock += seconds
    return station.see(), plan


def racked(garments: int, plan: Plan | None = None) -> Station:
    """Return a station with some garments on the rack and another one laid."""
    station = Station(plan or one_layer(COLD), lines=MANY)
    station.answer()
    for _ in range(garments):
        station.press()
        station.answer()
        station.clock += 12
    return station


def _lay() -> Made:
    station = racked(0)
    return station.see(), one_layer(COLD)


def _chips_light() -> Made:
    station = racked(3)
    return station.see(), one_layer(COLD)


def _chips_dark(due: bool) -> Made:
    station = racked(2)
    if due:
        station.clock += 40
    station.tap()
    station.clock += 7
    return station.see(), one_layer(COLD)


def _staged_beside_the_rack() -> Made:
    """Return a count-in on a press opened by hand: no room is left for lines."""
    own = replace(one_layer(HOT, COLD, opens_itself=False), closes_in_seconds=3.0)
    plan = replace(own, passes=(replace(own.passes[0], place=PeelPlace.RACK),))
    station = racked(1, plan)
    station.tap()
    station.clock += 0.5
    return station.see(), plan


def _late() -> Made:
    station = racked(2)
    station.clock += 225
    station.tap()
    station.clock += 8
    return station.see(), one_layer(COLD)


def _over() -> Made:
    plan = two_layers(confirm_opening=True, opens_itself=False)
    station = Station(plan)
    station.answer()
    for _ in range(3):
        station.press()
        station.tap()
        station.clock += 2
    station.press()
    station.clock += 4.4
    return station.see(), plan


def _unasked() -> Made:
    plan = one_layer(COLD)
    station = Station(plan)
    station.answer()
    station.tap()
    station.wait(17)
    station.do(c.PressOpened())
    station.do(c.PutOnHold())
    station.do(c.PressClosed())
    station.clock += 12
    return station.see(), plan


def _ask(size: bool) -> Made:
    plan = one_layer(COLD)
    twins = (Garment("1", "6", "AL", "a"), Garment("5", "9", "A2X", "e"), *MANY[1:4])
    station = Station(plan, lines=MANY if size else twins)
    while (shown := station.see()).ask is not None and not (shown.ask.choices and size):
        job = station.state.job
        assert job is not None
        if job.setting is None:
            station.do(c.ReadSetting(300))
        elif size or job.questions[0].ask.value == "size":
            station.do(c.AnswerQuestion(job.questions[0].right))
        else:
            break
    return station.see(), plan


def _ask_racked(size: bool) -> Made:
    """Return a question about the next garment while the last one is still on the platen."""
    plan = one_layer(COLD)
    two = (Garment("1", "6", "AL", "a"), Garment("5", "9", "A2X" if size else "AL", "e"))
    station = Station(plan, lines=(MANY[0], two[1]) if size else two)
    station.answer()
    station.press()
    station.clock += 3
    return station.see(), plan


def _ask_by_pedal() -> Made:
    shown, plan = _ask(False)
    assert shown.ask is not None
    return replace(shown, ask=replace(shown.ask, pad=False)), plan


def _ask_closed() -> Made:
    plan = one_layer(COLD)
    station = Station(plan)
    station.answer()
    station.tap()
    station.clock += 6
    station.do(c.SayOpened())
    return station.see(), plan


def _open_first() -> Made:
    plan = one_layer(COLD)
    station = Station(plan)
    station.answer()
    station.tap()
    station.clock += 60
    station.boot = "boot-2"
    station.do(c.Start("0.1"))
    return station.see(), plan


def _held() -> Made:
    plan = one_layer(COLD)
    station = racked(2)
    station.do(c.PutOnHold(""))
    return station.see(), plan


def _setting() -> Made:
    plan = one_layer(COLD)
    shown = Station(plan).see()
    return replace(shown, warnings=(say("settings.warning.narrow_window"),)), plan


def set_beside_the_rack(late: bool = True) -> Station:
    """Return a station whose press is to be set again while garments cool: one due, or two late."""
    station = racked(3)
    station.clock += 225.0 if late else 0.0
    station.do(c.ReadSetting(260))
    return station


def _setting_late() -> Made:
    return set_beside_the_rack().see(), one_layer(COLD)


def _setting_touched() -> Made:
    station = set_beside_the_rack()
    job = station.state.job
    assert job is not None
    return station.see(job.rack[0]), one_layer(COLD)


def _peel_hot() -> Made:
    plan = one_layer(HOT)
    station = Station(plan)
    station.answer()
    station.press()
    station.clock += 3
    return station.see(), plan


def _touched_dark() -> Made:
    station = racked(2)
    station.tap()
    station.clock += 7
    job = station.state.job
    assert job is not None
    return station.see(job.rack[0]), one_layer(COLD)


def _aside() -> Made:
    station = racked(2)
    job = station.state.job
    assert job is not None
    station.do(c.Inspect(job.rack[0], TicketStage.REWORK, "lifted_edge", "short_press"))
    return station.see(), one_layer(COLD)


def _stopped() -> Made:
    """Return a touched chip of a garment on the rack whose row has changed."""
    station = racked(2)
    station.do(c.RowChanged("5", "new"))
    job = station.state.job
    assert job is not None
    return station.see(job.aside[0]), one_layer(COLD)


def _stopped_behind() -> Made:
    """Return a full rack row, with a garment behind it that a supervisor has to decide on."""
    station = racked(4)
    station.do(c.RowChanged("6", "new"))
    station.clock += 3
    return station.see(), one_layer(COLD)


def _setting_after_a_stop() -> Made:
    """The power failed in a tack: its carriers are hot, and the press is to be set again."""
    station, plan = Station(two_layers()), two_layers()
    station.answer()
    station.press()
    station.tap()
    station.boot, station.clock = "boot-2", 30.0
    station.do(c.Start("0.1"))
    station.tap()
    return station.tap(), plan


def _done() -> Made:
    plan = one_layer(HOT)
    station = Station(plan, lines=LINES[:1])
    station.answer()
    station.press()
    station.clock += 3
    station.tap()
    return station.see(), plan


def _by_guess() -> Plan:
    """Return a cold peel with a guess of 60 to 240 s, later than the estimate."""
    plan = one_layer(COLD)
    found = PeelWait(COLD, 45.0, 900.0, FROM_ESTIMATE, Range(25.0, 35.0, 45.0), None, 45.0)
    wait = with_guess(found, (60.0, 240.0))
    return replace(plan, passes=(replace(plan.passes[0], wait=wait),))


def _guess_waits() -> Made:
    plan = _by_guess()
    station = Station(plan, lines=MANY[:1])
    station.answer()
    station.press()
    station.clock += 5
    return station.see(), plan


def _guess_dark(late: float = 0.0) -> Made:
    plan = _by_guess()
    station = racked(3, plan)
    station.clock += late
    station.tap()
    station.clock += 7
    return station.see(), plan


def _hot_by_guess() -> Made:
    plan = one_layer(HOT)
    wait = PeelWait(HOT, 0.0, 9.0, FROM_GUESS, guess=(0.0, 9.0))
    plan = replace(plan, passes=(replace(plan.passes[0], wait=wait),))
    station = Station(plan)
    station.answer()
    station.press()
    station.clock += 3
    return station.see(), plan


SCENES: dict[str, Callable[[], Made]] = {
    "load": lambda: _stacked(0),
    "lay": lambda: _stacked(1),
    "lay-one": _lay,
    "lay-top": lambda: _stacked(2),
    "sheet": lambda: _stacked(3),
    "trainee-carrier": lambda: _stacked(2, ConfirmMode.EACH),
    "called-again": _called_again,
    "inspect": lambda: _stacked(4),
    "peel-hot": _peel_hot,
    "pre-press": lambda: _in_heat(0, two_layers(), 2.5),
    "counting-in": lambda: _in_heat(1, two_layers(), 0.3),
    "tack": lambda: _in_heat(1, two_layers(opens_itself=False), 1.4),
    "final-stack": lambda: _in_heat(3, two_layers(), 4.0),
    "final-cold": lambda: _in_heat(0, one_layer(COLD), 4.0),
    "final-staged": lambda: _in_heat(0, one_layer(HOT, WARM), 4.0),
    "chips-light": _chips_light,
    "chips-dark": lambda: _chips_dark(False),
    "chips-staged": _staged_beside_the_rack,
    "chips-due": lambda: _chips_dark(True),
    "chips-late": _late,
    "guess-waits": _guess_waits,
    "guess-dark": _guess_dark,
    "guess-late": lambda: _guess_dark(230),
    "guess-hot": _hot_by_guess,
    "touched-dark": _touched_dark,
    "aside": _aside,
    "stopped": _stopped,
    "stopped-behind": _stopped_behind,
    "over": _over,
    "unasked": _unasked,
    "ask-size": lambda: _ask(True),
    "ask-number": lambda: _ask(False),
    "ask-number-by-pedal": _ask_by_pedal,
    "ask-size-racked": lambda: _ask_racked(True),
    "ask-number-racked": lambda: _ask_racked(False),
    "ask-closed": _ask_closed,
    "open-first": _open_first,
    "held": _held,
    "setting": _setting,
    "setting-after-a-stop": _setting_after_a_stop,
    "setting-late": _setting_late,
    "setting-touched": _setting_touched,
    "done": _done,
}
