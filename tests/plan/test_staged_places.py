"""Where each of several peels of one closing is done, and what that costs."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from plan_samples import closing, element, material, plan_of, settings

from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Peel
from kiosk.plan.model import PeelPlace, Plan
from kiosk.plan.phrases import phrase
from kiosk.plan.time.finish import minutes
from kiosk.words import Words

HOT, WARM, COLD = Peel.HOT, Peel.WARM, Peel.COLD
PRESS, HAND, RACK = PeelPlace.PRESS, PeelPlace.HAND, PeelPlace.RACK
NAMES = {HOT: "badge", WARM: "name", COLD: "number"}
SHORT = {WARM: ("8 s", "20 s"), COLD: ("60 s", "240 s")}
LONG = {WARM: ("30 s", "600 s"), COLD: ("700 s", "900 s")}


def plan(*peels: Peel, waits: Mapping[Peel, tuple[str, str]]) -> Plan:
    """Return the plan of one closing with a piece for each peel."""
    pieces = {f"{NAMES[peel]}.1": peel for peel in peels}
    back = Panel("back", tuple(element(NAMES[peel], "red") for peel in peels))
    return plan_of(
        settings(closing(*pieces, peel=pieces)), panels=(back,), materials=(material(waits=waits),)
    )


@pytest.mark.parametrize(
    ("peels", "waits", "places"),
    [
        ((HOT, COLD), SHORT, (PRESS, RACK)),
        ((WARM, COLD), SHORT, (HAND, RACK)),  # warm would be late before the next final
        ((HOT, WARM, COLD), SHORT, (PRESS, HAND, RACK)),
        ((WARM, COLD), LONG, (RACK, RACK)),
        ((HOT, WARM), SHORT, (PRESS, HAND)),
        ((COLD,), SHORT, (RACK,)),
    ],
)
def test_each_stage_is_peeled_where_it_will_not_be_late(
    peels: tuple[Peel, ...], waits: Mapping[Peel, tuple[str, str]], places: tuple[PeelPlace, ...]
) -> None:
    (only,) = plan(*peels, waits=waits).passes
    assert only.places == places
    assert only.place is places[-1]
    assert [wait.peel for wait in only.stages] == list(peels)


def test_a_stage_that_waits_on_the_rack_costs_one_more_tap() -> None:
    closings = 2  # pre-press and final
    assert plan(WARM, COLD, waits=SHORT).taps_per_garment == closings + 1
    assert plan(WARM, COLD, waits=LONG).taps_per_garment == closings + 2


def test_the_paper_says_when_and_where_each_stage_is_peeled() -> None:
    made = plan(HOT, WARM, COLD, waits=SHORT)
    (only,) = made.passes
    hot, warm, cold = (Words("en").say(phrase(made, only, s)) for s in only.steps[-4:-1])
    assert hot == "Peel hot: badge"
    assert warm.startswith("Keep it in hand, flat, off the platen; peel warm 8 to 20 s")
    assert cold.startswith("Lay it flat on the rack; peel cold 60 to 240 s")


def test_a_peel_in_hand_adds_its_wait() -> None:
    quick, slow = minutes(plan(WARM, COLD, waits=SHORT), 60)
    without = minutes(plan(HOT, COLD, waits=SHORT), 60)
    assert quick - without[0] == pytest.approx(60 * 8 / 60, abs=1)
    assert slow > without[1]
