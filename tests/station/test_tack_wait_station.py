"""The wait of a tack's carriers at the real station: estimated for each garment, shown, heard.

Tolerances are those of the calculated table in ../shared/heat.md; no press was measured.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from peel_press import do, last, own, set_for
from run_samples import Bench as Pressing
from station_driver import Person, taps_of
from station_harness import Bench
from tack_shop import shop

from kiosk.catalog.model.sheets import Peel
from kiosk.peel.history import garment_history
from kiosk.plan.model import PeelPlace, Phase
from kiosk.run.facts.peels import PeelZone
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, Estimate
from kiosk.run.state.events_station import PeelEstimated
from kiosk.run.state.model import Ticket
from kiosk.station.desk.cues import Cue
from kiosk.station.glass.cues import prompts


def pressing(place: Path, peel: Peel) -> Pressing:
    """Return a press with the first garment loaded, without a window."""
    return set_for(shop(place, peel), "made-up").answer()


def to_tack(bench: Pressing, nth: int = 1, waits: float = 10.0) -> Ticket:
    """Press to the end of the garment's next tack, or a later one; return the garment."""
    for _ in range(nth):
        while True:
            bench.answer().wait(waits)
            do(bench, bench.forward())
            heat = bench.state.heat
            if heat is None:  # asked whether it is ready
                continue
            phase = bench.job.plan.passes[0].steps[heat.step].phase
            assert heat.deadline is not None
            bench.until(heat.deadline)
            do(bench, c.Tick())
            if phase is Phase.TACK:
                break
    return bench.job.tickets[bench.job.slot]


def middle(estimate: Estimate, lies: CoolingPlace) -> float:
    waits = estimate.lifted if lies is CoolingPlace.LIFTED else estimate.on_pad
    ready = last(waits).ready
    assert ready is not None
    return ready.middle


def test_each_tack_gets_an_estimate_from_its_own_garment(tmp_path: Path) -> None:
    """Lifted 30 and 102 s, on a pad at room temperature 33 s; within a fifth, on the pad 30 %."""
    (tmp_path / "warm").mkdir()
    warm = own(to_tack(pressing(tmp_path / "warm", Peel.WARM)))
    assert middle(warm, CoolingPlace.LIFTED) == pytest.approx(30, rel=0.2)
    assert middle(warm, CoolingPlace.ON_PAD) == pytest.approx(33, rel=0.3)
    (tmp_path / "cold").mkdir()
    cold = own(to_tack(pressing(tmp_path / "cold", Peel.COLD)))
    assert middle(cold, CoolingPlace.LIFTED) == pytest.approx(102, rel=0.2)


def test_a_warm_peel_on_the_pad_shows_the_pads_time_without_an_if(tmp_path: Path) -> None:
    bench = pressing(tmp_path, Peel.WARM)
    found = last(own(to_tack(bench)).on_pad)
    assert found.ready is not None
    (chip,) = view(bench.state, bench.now).chips
    assert chip.from_seconds == pytest.approx(found.from_seconds, abs=1.0)
    assert chip.line.id == "chip.seconds"


def test_a_warmer_pad_makes_the_next_garment_wait_longer(tmp_path: Path) -> None:
    """heat.md: on the pad, the pad's temperature governs."""
    bench = pressing(tmp_path, Peel.WARM)
    found = []
    for nth in range(3):
        found.append(middle(own(to_tack(bench)), CoolingPlace.ON_PAD))
        while nth < 2 and bench.job.tickets[bench.job.slot].step:
            bench.answer().wait(60.0)
            do(bench, bench.forward())
            if bench.state.heat is not None and bench.state.heat.deadline is not None:
                bench.until(bench.state.heat.deadline)
                do(bench, c.Tick())
    assert found == sorted(found)
    assert found[-1] > 1.1 * found[0]


def test_a_garment_off_the_platen_is_cold_by_its_next_tack(tmp_path: Path) -> None:
    bench = pressing(tmp_path, Peel.COLD)
    to_tack(bench)
    to_tack(bench, waits=180.0)
    history = garment_history(bench.state)
    assert history is not None
    ((stage, before),) = [each for each in history.solved.stages if each[0].name == "hands"][-1:]
    film = before.samples[-1].bond
    assert film is not None
    assert film < 30.0
    assert "pad" not in stage.stack


def test_the_wait_after_a_tack_leaves_the_final_and_the_pad_alone(tmp_path: Path) -> None:
    bench = pressing(tmp_path, Peel.WARM)
    ticket = to_tack(bench)
    assert own(ticket).opened == ticket.opened
    assert bench.state.pad_next is None  # the garment is not done
    bench.wait(60.0)
    do(bench, bench.forward())
    assert bench.job.tickets[ticket.id].estimate is None


def test_the_plan_decides_where_a_tack_waits_and_it_teaches_nothing(tmp_path: Path) -> None:
    bench = pressing(tmp_path, Peel.COLD)
    ticket = to_tack(bench)
    assert bench.refused(s.SayPlace(ticket.id, CoolingPlace.ON_PAD)).startswith("refuse.place")
    assert not bench.state.betas


def listened(person: Person) -> list[Cue]:
    """Return a list that will collect the cues sounded from now on."""
    heard: list[Cue] = []
    sound = person.station.shell.cue

    def cue(each: Cue) -> None:
        heard.append(each)
        sound(each)

    person.station.shell.cue = cue
    return heard


def test_an_operator_sees_and_hears_the_wait_and_taps_no_more_often(
    bench: Bench, tmp_path: Path
) -> None:
    person = Person(bench, shop(tmp_path, Peel.COLD))
    person.first_start()
    person.sign_off()
    person.begin("Made-up set")
    while person.view.phase is not Phase.TACK or person.view.kind is not ScreenKind.HEAT:
        person.move_on()
    person.until_open()
    bench.pass_time(1.0)
    said = person.texts()
    assert "Wait, carrier" in said
    assert "off the platen: flat, carrier on" in said
    assert "same place" in said
    assert any(each.id == "move.wait_carrier" for each in prompts(person.view))
    (chip,) = person.view.chips
    assert chip.zone is PeelZone.SOON
    heard = listened(person)
    person.until(lambda view: view.chips[0].zone is PeelZone.NOW)
    assert Cue.DUE in heard
    assert "Carrier off, lay the top" in person.texts().replace("\n", " ")
    while person.view.nth == 1:
        person.move_on() if person.view.kind is not ScreenKind.HEAT else person.until_open()
    _, taps = min(taps_of(person.events()).forward.items())
    assert taps == 5  # closings, including the pre-press, and one: ../shared/design.md section 3
    tacks = [each for each in person.events() if isinstance(each, PeelEstimated) and not each.pad]
    assert len(tacks) == 2
    person.close()


def test_a_warm_carrier_waits_on_the_pad_and_a_cold_one_off_it(tmp_path: Path) -> None:
    for peel, place in ((Peel.WARM, PeelPlace.PRESS), (Peel.COLD, PeelPlace.HAND)):
        (tmp_path / peel.word).mkdir()
        plan = pressing(tmp_path / peel.word, peel).job.plan
        off = [x for x in plan.passes[0].steps if x.phase is Phase.REMOVE_CARRIER]
        assert {step.place for step in off} == {place}
