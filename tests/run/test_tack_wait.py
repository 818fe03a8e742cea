"""A carrier peeled warm or cold after a tack: its wait is shown, too early a tap questioned.

The waits are from a made-up sheet: warm 8 to 20 s, cold 60 to 240 s after opening.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from view_cases import (
    COLD,
    HOT,
    LOWER,
    STACKED,
    WAITS,
    WARM,
    Station,
    label,
    lines,
    move,
    plan_of,
    two_layers,
)
from view_cases import WORDS as ENGLISH

from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PeelPlace, Phase, Plan, Step
from kiosk.run.decide.decide import decide
from kiosk.run.facts.peels import PeelZone
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state import commands as c
from kiosk.run.state.commands_shift import SayNeverClosed
from kiosk.run.state.event import Refusal
from kiosk.run.state.events import AskedQuick, Closed, Confirmed
from kiosk.run.state.model import ConfirmMode
from kiosk.words import Words

BACK = "then load it again, same place: back up, collar toward you"


def waiting(step: Step, peel: Peel, place: PeelPlace | None = None) -> Step:
    """A carrier peeled this way; without a `place`, warm waits on the pad and cold off it."""
    if peel is HOT:
        return replace(step, peel=peel)
    where = place or (PeelPlace.PRESS if peel is WARM else PeelPlace.HAND)
    return replace(step, peel=peel, wait=WAITS[peel], place=where)


def tacked(peel: Peel) -> Plan:
    """The usual stack in film whose tack is peeled this way."""
    plan = two_layers()
    (one,) = plan.passes
    steps = tuple(
        waiting(step, peel) if step.phase is Phase.REMOVE_CARRIER else step for step in one.steps
    )
    return replace(plan, passes=(replace(one, steps=steps),))


def mixed() -> Plan:
    """After the first tack the number's carrier is peeled hot, the name's cold."""
    (one,) = two_layers().passes
    index = next(n for n, step in enumerate(one.steps) if step.phase is Phase.REMOVE_CARRIER)
    off = one.steps[index]
    each = (replace(off, pieces=LOWER[1:]), waiting(replace(off, pieces=LOWER[:1]), COLD))
    return plan_of((*one.steps[:index], *each, *one.steps[index + 1 :]), STACKED)


def opened(plan: Plan, confirm: ConfirmMode = ConfirmMode.GROUPED) -> Station:
    """The tone of the first tack rang a tenth of a second ago."""
    station = Station(plan, confirm)
    station.answer()
    while station.see().phase is not Phase.TACK or station.see().kind is not ScreenKind.HEAT:
        if station.see().kind is ScreenKind.HEAT:
            ring(station)
        else:
            station.tap()
    ring(station)
    return station


def ring(station: Station) -> View:
    shown = station.see()
    assert shown.countdown is not None
    return station.wait(shown.countdown.counting_in + shown.countdown.left + 0.1)


def chip_texts(shown: View) -> tuple[str, str]:
    """The text of the one chip: its peel and its time."""
    (chip,) = shown.chips
    return ENGLISH.say(chip.word), ENGLISH.say(chip.line)


def forward(station: Station, seconds: float) -> AskedQuick | Closed | Confirmed:
    """Press forward `seconds` after the opening, whatever is missing."""
    (pressing,) = station.state.pressings[-1:]
    station.clock = pressing.ended.clock + seconds
    meaning = station.see().bar.meaning
    assert meaning is not None
    made = decide(station.state, c.Forward(meaning, station.clock), station.now)
    assert not isinstance(made, Refusal)
    station.do(c.Forward(meaning, station.clock))
    assert isinstance(made[0], AskedQuick | Closed | Confirmed)
    return made[0]


def test_a_warm_carrier_has_its_clock_and_stays_on_the_press() -> None:
    shown = opened(tacked(WARM)).see()
    assert move(shown) == "Wait, carriers off warm"
    assert chip_texts(shown) == ("WARM", "in 10 s, by 15 s")
    assert lines(shown) == ["in 10 s, by 15 s, supplier's sheet", "leave it on the open press"]
    assert shown.phase is Phase.REMOVE_CARRIER  # the next layer is not drawn yet


def test_a_cold_carrier_waits_off_the_platen_and_goes_back_to_its_place() -> None:
    station = opened(tacked(COLD))
    shown = station.see()
    assert move(shown) == "Wait, carriers off cold"
    assert chip_texts(shown) == ("COLD", "in 60 s")
    assert lines(shown)[1:] == ["off the platen: flat, carrier on", BACK]
    due = station.wait(60.0)
    assert move(due) == "Carriers off, lay the top"
    assert lines(due)[0] == BACK
    assert due.chips[0].zone is PeelZone.NOW
    assert due.phase is Phase.LAY_TOP


def test_in_spanish_it_says_the_same() -> None:
    shown, spanish = opened(tacked(COLD)).see(), Words("es")
    assert spanish.say(shown.move) == "Esperar, quitar soportes en frío"
    assert [spanish.say(line) for line in shown.lines[1:]] == [
        "fuera del plato: plana, con soporte",
        "luego cargarla otra vez, mismo lugar: espalda arriba, cuello hacia el operador",
    ]


def test_a_hot_one_has_no_clock_and_no_wait() -> None:
    shown = opened(tacked(HOT)).see()
    assert not shown.chips
    assert move(shown) == "Carriers off, lay the top"


def test_the_clock_is_gone_with_the_carriers() -> None:
    station = opened(tacked(WARM), ConfirmMode.EACH)
    station.wait(10.0)
    station.tap()
    assert station.see().phase is Phase.LAY_TOP
    assert not station.see().chips


@pytest.mark.parametrize("peel", [HOT, WARM, COLD])
def test_a_two_layer_garment_is_five_taps(peel: Peel) -> None:
    """All closings, pre-press included, plus one: ../shared/design.md section 3."""
    station = Station(tacked(peel))
    taps = 0
    shown = station.answer()
    while shown.nth == 1:
        if shown.kind is ScreenKind.HEAT:
            shown = ring(station)
            continue
        station.tap()
        taps += 1
        shown = station.see()
    assert taps == 5


def test_a_tap_before_the_carriers_can_be_off_is_asked_once_and_then_taken() -> None:
    station = opened(tacked(WARM))
    assert label(station.see()) == "Carriers off, top even: tack 2 s"
    asked = forward(station, 6.0)
    assert isinstance(asked, AskedQuick)
    assert move(station.see()) == "Is it ready to peel?"
    assert isinstance(forward(station, 7.0), Closed)


def test_laying_after_the_carriers_takes_its_time_too() -> None:
    """8 s, then two carriers off and two pieces laid: 5 s by the least times."""
    assert isinstance(forward(opened(tacked(WARM)), 12.5), AskedQuick)
    assert isinstance(forward(opened(tacked(WARM)), 13.5), Closed)


def test_a_trainee_is_asked_at_the_carriers_own_step() -> None:
    assert isinstance(forward(opened(tacked(WARM), ConfirmMode.EACH), 6.0), AskedQuick)
    station = opened(tacked(WARM), ConfirmMode.EACH)
    assert isinstance(forward(station, 9.5), Confirmed)


def test_a_hot_tack_is_questioned_as_before() -> None:
    assert isinstance(forward(opened(tacked(HOT)), 6.0), Closed)


def test_a_garment_put_aside_is_loaded_again_once_its_carrier_is_due() -> None:
    station = opened(tacked(COLD))
    first = station.wait(5.0).ticket
    station.do(c.PutAside("later"))
    while station.see().ticket != first:
        station.do(c.PutAside("later"))
    shown = station.answer()
    assert move(shown) == "Wait, carriers off cold"
    assert lines(shown)[1:] == ["off the platen: flat, carrier on", BACK]
    due = station.wait(60.0)
    assert lines(due)[0] == "load it again: back up, collar toward you"
    assert BACK not in lines(due)


def test_with_hot_and_cold_carriers_the_hot_come_off_at_once_and_the_clock_is_the_colds() -> None:
    station = opened(mixed())
    shown = station.see()
    assert move(shown) == "Carriers off, lay the top"
    assert chip_texts(shown) == ("COLD", "in 60 s")
    assert lines(shown)[0] == "carriers off: number at once, name when cold"
    assert "off the platen: flat, carrier on" in lines(shown)
    assert isinstance(forward(station, 30.0), AskedQuick)


def test_after_a_reboot_the_time_is_approximate() -> None:
    station = opened(tacked(COLD))
    station.boot, station.clock = "boot-2", 20.0  # the machine has been up for 20 s
    station.do(c.Start("0.1"))
    station.do(c.ReadSetting(300))
    assert chip_texts(station.answer())[1] == "in about 40 s"


def test_an_unseen_opening_shows_where_to_wait_but_no_time() -> None:
    """A power cut in the middle of the tack: the operator sees the wording but no clock."""
    station = opened(tacked(COLD))
    station.do(SayNeverClosed())
    station.tap()
    station.boot, station.clock = "boot-2", station.clock + 20.0
    station.do(c.Start("0.1"))
    station.do(c.SayOpened())
    station.tap()  # the garment goes on
    station.do(c.ReadSetting(300))
    shown = station.answer()
    assert not shown.chips
    assert shown.peel is COLD
    assert lines(shown)[:2] == ["off the platen: flat, carrier on", BACK]


def test_no_screen_calls_it_safe_or_claims_that_it_holds() -> None:
    for peel in (WARM, COLD):
        station = opened(tacked(peel))
        for seconds in (0.0, 30.0, 60.0, 300.0):
            shown = station.wait(seconds)
            text = " ".join([move(shown), *lines(shown), *chip_texts(shown)]).lower()
            assert "safe" not in text
            assert "hold" not in text
