"""The cooling curve that an estimate keeps, compared with scipy's solution of its equation.

Limits: heat.md, times within 1.5 %, temperatures within 0.3 K; its reference is `solve_ivp`.
"""

import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from cooling_shop import cooling_shop
from peel_press import do, own, press, set_for
from run_samples import Bench as Pressing
from run_samples import on_shift
from station_driver import lay_out
from tack_shop import shop as tack_shop

from kiosk.catalog.model import PROPOSED, Peel
from kiosk.heat.garment import Act, GarmentPlace, Setup, story
from kiosk.heat.stack import PROPERTIES, Cloth
from kiosk.peel.estimate import changed_estimates, ready_celsius, to_estimate
from kiosk.peel.worker import Advice, Estimates, ImmediateExecutor, to_solve
from kiosk.plan.model import Phase
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.view import view
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace, Points
from kiosk.run.state.events_station import PeelEstimated
from kiosk.run.state.model import TicketStage

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "heat"))

from by_scipy import Floats, by_scipy

COLD = 41.0  # °C: peel_at of the warm-up tops' film


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def pressing(shop: Path) -> Pressing:
    """The press with the first garment loaded."""
    return set_for(shop).answer()


def scipys(bench: Pressing, *after: Act) -> tuple[Floats, Floats]:
    """Return seconds after the final and the bond's temperature of a day's first garment.

    As it was pressed: 10 s on the pad, the pre-press, the hands, the final under its carrier, then
    `after`.
    """
    stack = bench.job.plan.passes[0].heat
    assert stack is not None
    data = replace(PROPERTIES, pad=stack.pad, lower=stack.lower, cloths={Cloth.LIGHT: stack.cloth})
    films = tuple((each.film, each.carrier) for each in stack.films)
    setup = Setup(stack.platen, stack.room, Cloth.LIGHT, plies=2, properties=data, films=films)
    bare, final = bench.state.pressings
    acts = (
        Act("load", 10.0),
        Act("pre-press", bare.ended.clock - bare.began.clock, closed=True),
        Act("hands", final.began.clock - bare.ended.clock),
        Act(
            "final press", final.ended.clock - final.began.clock, closed=True, films=1, carrier=True
        ),
        *after,
    )
    told = story(setup, acts)
    marks = [np.linspace(0.0, stage.seconds, 2001).tolist() for stage in told.stages]
    found = [x for x in by_scipy(told, "BDF", 1e-8, marks) if x.bond is not None]
    opened = sum(act.seconds for act in acts[:4])
    rows = [(x.time - opened, x.bond) for x in found if x.time >= opened][1:]
    times, bonds = np.array(rows, dtype=float).T
    return times, bonds


def cooled(where: GarmentPlace, on_pad: float, seconds: float) -> tuple[Act, Act]:
    act = Act("cool", seconds - on_pad, films=1, carrier=True, where=where)
    return Act("cool", on_pad, films=1, carrier=True), act


def falls_to(celsius: float, times: Floats, bonds: Floats) -> float:
    """Return the seconds until the bond is down to `celsius`, by linear interpolation."""
    return float(np.interp(-celsius, -bonds[bonds.argmax() :], times[bonds.argmax() :]))


def assert_close(kept: Points, times: Floats, bonds: Floats, of: float = 0.3) -> None:
    at, celsius = np.array(kept).T
    assert np.abs(celsius - np.interp(at, times, bonds)).max() < of
    for border in (90.0, 65.0, 50.0, COLD):
        assert falls_to(border, at, celsius) == pytest.approx(
            falls_to(border, times, bonds), rel=0.015
        )


@pytest.mark.parametrize(
    ("lies", "acts"),
    [
        (CoolingPlace.LIFTED, cooled(GarmentPlace.LIFTED, 2.0, 420.0)),
        (CoolingPlace.ON_PAD, cooled(GarmentPlace.PAD, 2.0, 600.0)),
    ],
)
def test_the_kept_curve_matches_scipys(
    pressing: Pressing, lies: CoolingPlace, acts: tuple[Act, Act]
) -> None:
    found = own(press(pressing))
    times, bonds = scipys(pressing, *acts)
    kept = found.curve(lies)
    assert_close(kept, times, bonds)
    assert (kept[0][0], kept[-1][0]) == (0.0, acts[0].seconds + acts[1].seconds)
    assert found.ready(lies) == pytest.approx(falls_to(COLD, times, bonds), rel=0.015)
    gaps = [(a, b - a) for (a, _), (b, _) in pairwise(kept[:-1])]
    assert all(gap > max(0.49, 0.035 * a) for a, gap in gaps)  # an event is small on the disk


def test_a_garment_lifted_later_cools_as_scipy_computes(pressing: Pressing) -> None:
    """Combined from two kept curves: 3 % off here; heat.md allows 15 % for a lifted one."""
    ticket = press(pressing)
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.ON_PAD))
    pressing.wait(80.0)
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.LIFTED))
    moved = own(pressing.job.tickets[ticket.id])
    acts = cooled(GarmentPlace.LIFTED, moved.lifted_after, 420.0)
    times, bonds = scipys(pressing, *acts)
    at, celsius = np.array(moved.lifted_curve).T
    assert moved.lifted_after == pytest.approx(80.0, abs=2)
    assert np.abs(celsius - np.interp(at, times, bonds)).max() < 2
    assert moved.ready_lifted == pytest.approx(falls_to(COLD, times, bonds), rel=0.05)


@pytest.mark.parametrize(("seconds", "anew"), [(4.0, False), (6.0, True)])
def test_lifting_a_moment_later_than_in_the_model_changes_no_estimate(
    pressing: Pressing, seconds: float, anew: bool
) -> None:
    """The model lifts it after 2 s; a hand counts as different if it is 3 s off (no source)."""
    ticket = press(pressing)
    before = own(ticket)
    assert ticket.opened is not None
    pressing.until(ticket.opened.clock + seconds)
    do(pressing, s.SayPlace(ticket.id, CoolingPlace.LIFTED))
    assert (own(pressing.job.tickets[ticket.id]) != before) is anew


def test_with_no_job_at_the_press_nothing_is_estimated_again() -> None:
    assert changed_estimates(on_shift().state) == ()


def to_its_final(pressing: Pressing) -> str:
    """Press the current garment to the end of its final; return its ticket's id."""
    name = pressing.job.slot
    while not pressing.job.tickets[name].finals:
        pressing.wait(10.0)
        pressing.answer().wait(1.0)
        pressing.do(pressing.forward())
        pressing.ring()
    return name


def test_the_pad_is_solved_for_even_if_its_garment_has_nothing_to_peel(pressing: Pressing) -> None:
    """heat.md: the pad remembers. A garment pressed again has no carrier and heats it too."""
    press(pressing)
    name = to_its_final(pressing)
    ticket = pressing.job.tickets[name]
    peeled = replace(ticket, peeled=True)
    job = replace(pressing.job, tickets={**pressing.job.tickets, name: peeled})
    assert to_estimate(replace(pressing.state, job=job)) == peeled


def test_a_garment_with_nothing_to_peel_is_solved_only_once(tmp_path: Path) -> None:
    """heat.md: solve once per event. A stack's carriers are off before its final."""
    bench = set_for(lay_out(tmp_path, "raft-polo"), "raft-polo").answer()
    ticket = press(bench)
    do(bench, c.Inspect(ticket.id, TicketStage.GOOD))
    assert bench.job.tickets[ticket.id].stage is TicketStage.GOOD
    solved = [e for e in bench.events if isinstance(e, PeelEstimated) and e.ticket == ticket.id]
    assert len(solved) == 1
    assert bench.state.pad_next == solved[0].pad


@pytest.mark.parametrize("result", [TicketStage.GOOD, TicketStage.SCRAP])
def test_a_result_before_the_solver_is_done_leaves_no_estimate(
    pressing: Pressing, result: TicketStage
) -> None:
    """The pad was warmed all the same (heat.md: the pad remembers)."""
    name = to_its_final(pressing)
    work = to_solve(pressing.state)
    assert work is not None
    pressing.wait(5.0)
    pressing.do(
        c.Inspect(name, result, *(() if result is TicketStage.GOOD else ("scorch", "over_run")))
    )
    while pressing.job.tickets[name].stage is not result:
        pressing.do(pressing.forward())
    solved = work()
    assert solved is not None
    pressing.do(solved)
    assert pressing.job.tickets[name].estimate is None
    assert pressing.state.pad_next == solved.pad
    assert to_solve(pressing.state) is None


def test_a_garment_scrapped_after_its_tack_is_not_solved_again(tmp_path: Path) -> None:
    bench = set_for(tack_shop(tmp_path, Peel.COLD), "made-up").answer()
    name = bench.job.slot
    while bench.state.heat is None or bench.state.heat.step != tack_of(bench, name):
        if bench.state.heat is None:
            bench.wait(10.0)
            bench.answer().wait(1.0)
            bench.do(bench.forward())
        else:
            bench.ring()
    bench.ring()
    work = to_solve(bench.state)
    assert work is not None
    bench.do(c.Inspect(name, TicketStage.SCRAP, "scorch", "over_run"))
    solved = work()
    assert solved is not None
    bench.do(solved)
    assert bench.job.tickets[name].estimate is None
    assert to_solve(bench.state) is None


def tack_of(bench: Pressing, name: str) -> int:
    """Return the index of the first tack in a garment's pass."""
    steps = bench.job.plan.passes[bench.job.tickets[name].passage].steps
    return next(n for n, step in enumerate(steps) if step.phase is Phase.TACK)


def pad_advice(pressing: Pressing, setting: Pressing) -> list[str]:
    """Return ids of pad advice beside the setting of a press, in the state of `pressing`."""
    shown = view(setting.state, setting.now, "")
    assert shown.kind is ScreenKind.SETTING
    told = Advice().on_setting(shown, pressing.state, pressing.now, ImmediateExecutor)
    return [m.id for m in told.warnings if m.id.startswith("heat.pad.")]


def test_a_cold_pad_is_mentioned_at_the_setting_and_a_warm_one_is_not(
    shop: Path, pressing: Pressing
) -> None:
    """heat.md: on the first garment of the day, suggest closing the empty press for 20 to 30 s."""
    setting = set_for(shop)
    assert pad_advice(setting, setting) == ["heat.pad.first"]
    press(pressing)
    pressing.wait(1500.0)
    assert pad_advice(pressing, setting) == []
    pressing.wait(600.0)
    assert pad_advice(pressing, setting) == ["heat.pad.first"]


def test_advice_is_shown_only_while_a_press_is_set(pressing: Pressing) -> None:
    shown = view(pressing.state, pressing.now, "")
    assert shown.kind is not ScreenKind.SETTING
    assert Advice().on_setting(shown, pressing.state, pressing.now, ImmediateExecutor) is shown


def test_warm_is_ready_at_65_and_cold_at_30_or_4_above_the_room() -> None:
    """heat.md, peel: warm from 65 °C down; cold at 30 °C or room + 4 K, whichever is higher."""
    warm, cold = (ready_celsius(peel, PROPOSED, 23.0) for peel in (Peel.WARM, Peel.COLD))
    assert (warm, cold, ready_celsius(Peel.COLD, PROPOSED, 29.0)) == (65.0, 30.0, 33.0)


def test_an_estimate_being_solved_is_not_requested_again(pressing: Pressing) -> None:
    to_its_final(pressing)
    solver = Estimates(ImmediateExecutor())
    assert solver.wanted(pressing.state)
    solver.start_solving(pressing.state)
    assert not solver.wanted(pressing.state)
    assert solver.take() is not None
    assert solver.wanted(pressing.state)


def test_an_idle_solver_has_nothing_ready_and_closes() -> None:
    solver = Estimates()
    assert not solver.ready
    assert solver.take() is None
    assert not solver.wanted(on_shift().state)
    solver.close()
