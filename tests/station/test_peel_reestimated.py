"""When a garment's estimate is made, made again, and left as it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from cooling_shop import cooling_shop
from peel_press import last, own, press, set_for
from run_samples import Bench as Pressing
from tack_shop import shop as tack_shop
from test_tack_wait_station import middle, to_tack

from kiosk.catalog.model.sheets import Peel
from kiosk.peel.estimate import as_kept, beta_of, changed_estimates, estimate
from kiosk.peel.worker import follow, to_solve
from kiosk.plan.model import Phase
from kiosk.run.state import commands as c
from kiosk.run.state import commands_shift as s
from kiosk.run.state.cooling import CoolingPlace
from kiosk.run.state.event import Event
from kiosk.run.state.model import TicketStage


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return cooling_shop(tmp_path_factory.mktemp("shop"))


@pytest.fixture
def pressing(shop: Path) -> Pressing:
    """The press with the first garment loaded."""
    return set_for(shop).answer()


def learned(bench: Pressing, more: float) -> Pressing:
    """Return the press with lifted garments known to cool slower, equally certain."""
    known = as_kept(beta_of(bench.state, CoolingPlace.LIFTED))
    later = {CoolingPlace.LIFTED.value: replace(known, mean=known.mean + more)}
    bench.state = replace(bench.state, betas={**bench.state.betas, **later})
    return bench


def follow_ups(bench: Pressing, events: Sequence[Event]) -> list[c.Command]:
    """Return the commands that the station gives by itself after these events."""
    found: list[c.Command] = []
    follow(bench.state, tuple(events), lambda: bench.state, found.append)
    return found


@pytest.mark.parametrize(("more", "estimates"), [(0.004, 0), (-0.004, 0), (0.03, 1), (-0.03, 1)])
def test_a_range_is_updated_from_one_percent_on(
    pressing: Pressing, more: float, estimates: int
) -> None:
    """exp(0.004) is 0.4 % more seconds, exp(0.03) 3 %: plain arithmetic."""
    press(pressing)
    assert len(changed_estimates(learned(pressing, more).state)) == estimates


def test_learning_elsewhere_waits_until_the_garments_place_is_reported(pressing: Pressing) -> None:
    """Nothing is solved again without a lesson or a report of where the garment is."""
    ticket = press(pressing)
    held = pressing.do(c.PutOnHold())
    said = pressing.do(s.SayPlace(ticket.id, CoolingPlace.ON_PAD))
    learned(pressing, 0.2)
    assert follow_ups(pressing, held) == []
    (given,) = follow_ups(pressing, said)
    assert isinstance(given, s.GiveEstimate)
    assert last(given.estimate.lifted).from_seconds > last(own(ticket).lifted).from_seconds


def to_final(bench: Pressing) -> str:
    """Press the current garment, solving nothing, until its final is under way; return its id."""
    ticket = bench.job.tickets[bench.job.slot]
    while True:
        bench.wait(10.0)
        bench.answer().do(bench.forward())
        heat = bench.state.heat
        assert heat is not None
        if bench.job.plan.passes[ticket.passage].steps[heat.step].phase is Phase.FINAL:
            return ticket.id
        bench.ring()


def test_follow_solves_the_estimate_due_after_a_closing(pressing: Pressing) -> None:
    ticket = to_final(pressing)
    (given,) = follow_ups(pressing, pressing.ring())
    assert isinstance(given, s.GiveEstimate)
    assert given.ticket == ticket


def test_a_lesson_updates_the_estimate_of_another_cooling_garment(pressing: Pressing) -> None:
    first, second = press(pressing), press(pressing)
    before = pressing.state
    done = pressing.do(c.Inspect(first.id, TicketStage.REWORK, "lifted_edge", "peeled_early"))
    follow(before, done, lambda: pressing.state, pressing.do)
    later = last(own(pressing.job.tickets[second.id]).lifted)
    assert later.from_seconds > last(own(second).lifted).from_seconds


def test_a_press_opened_late_is_estimated_from_its_opening(pressing: Pressing) -> None:
    """design.md, section 3: time over is counted until it is opened."""
    before = press(pressing)
    pressing.wait(6.0)
    opened = pressing.do(c.PressOpened())
    (given,) = follow_ups(learned(pressing, 0.2), opened)
    assert changed_estimates(pressing.state) == ()  # what it was until then is not solved again
    assert isinstance(given, s.GiveEstimate)
    assert given.estimate.opened == pressing.job.tickets[before.id].opened != before.opened


def test_an_unseen_end_gets_no_estimate(pressing: Pressing) -> None:
    """design.md, section 3: after a reboot the garment is outcome unknown."""
    to_final(pressing)
    pressing.reboot()
    assert pressing.state.pressings
    assert to_solve(pressing.state) is None


def test_nothing_is_solved_after_the_job_is_put_back(tmp_path: Path) -> None:
    """Nor before the first closing, when nothing cools yet."""
    bench = set_for(tack_shop(tmp_path, Peel.WARM), "made-up").answer()
    assert estimate(bench.state) is None
    to_tack(bench)
    bench.do(c.LeaveJob())
    assert bench.state.pressings
    assert (to_solve(bench.state), estimate(bench.state)) == (None, None)


def test_a_garment_only_tacked_passes_on_no_pad_heat(tmp_path: Path) -> None:
    """heat.md: the pad remembers from one garment to the next; this one is not done yet."""
    bench = set_for(tack_shop(tmp_path, Peel.WARM), "made-up").answer()
    own(to_tack(bench))
    assert bench.state.pad_next is None
    bench.wait(300.0)
    press(bench, idle=120.0)
    assert bench.state.pad_next is not None


def test_a_lesson_updates_the_estimate_at_the_press_too(tmp_path: Path) -> None:
    """heat.md: one β for lifted. Its carriers cool after a tack."""
    bench = set_for(tack_shop(tmp_path, Peel.WARM), "made-up").answer()
    before = own(to_tack(bench))
    (given,) = changed_estimates(learned(bench, 0.2).state)
    assert middle(given.estimate, CoolingPlace.LIFTED) > middle(before, CoolingPlace.LIFTED)


def test_a_closed_press_stops_solving_for_the_previous_garment(pressing: Pressing) -> None:
    """What it left in the pad is no longer what the next one meets."""
    first = to_final(pressing)
    pressing.ring()
    assert to_solve(pressing.state) is not None
    pressing.wait(10.0).answer().wait(1.0)
    pressing.do(pressing.forward())
    assert pressing.state.heat is not None
    assert pressing.state.pressings[-1].ticket == first
    assert to_solve(pressing.state) is None


def test_a_tacks_carrier_uses_its_own_films_peel_temperature(tmp_path: Path) -> None:
    """heat.md: editable per material. Cold at 45 °C comes before cold at 30 °C."""
    found = []
    for key, more in (("usual", ""), ("own", "  peel_at: {cold: 45 C}\n")):
        (tmp_path / key).mkdir()
        place = tack_shop(tmp_path / key, Peel.COLD)
        with (place / "recipes" / "materials.yaml").open("a", encoding="utf-8") as sheets:
            sheets.write(more)
        found.append(middle(own(to_tack(set_for(place, "made-up").answer())), CoolingPlace.LIFTED))
    assert found[1] < 0.75 * found[0]


def test_a_hot_peel_has_no_ready_moment_to_learn_from(tmp_path: Path) -> None:
    """The end of its hot window is estimated all the same."""
    ticket = press(set_for(tack_shop(tmp_path, Peel.HOT), "made-up").answer())
    found = own(ticket)
    assert last(found.lifted).late is not None
    assert (found.ready_lifted, found.ready_on_pad) == (None, None)
