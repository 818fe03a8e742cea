"""Telling the phases apart without reading: by what else the screen draws, and by the tones."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import pytest
from station_harness import Bench, Picture
from station_screen import PANELS, make_screen
from station_tree import written
from view_cases import HOT, Station, one_layer, two_layers

from kiosk.plan.model import Phase, Plan
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.model import ConfirmMode
from kiosk.station.desk.cues import COUNTS

LEAST = 0.01  # of the pixels: a field of the ribbon alone is a fifth of it
CLOSED = {Phase.PRE_PRESS, Phase.TACK, Phase.FINAL}


def phases(plan: Plan) -> Iterator[View]:
    """Yield the first garment's phases with a trainee, the closings in the middle of heat."""
    station = Station(plan, ConfirmMode.EACH)
    view = station.answer()
    while view.nth == 1 and view.kind is not ScreenKind.DONE:
        yield view
        view = station.tap()
        if view.kind is ScreenKind.HEAT:
            yield station.wait(1.5)
            assert view.countdown is not None
            view = station.wait(view.countdown.total + 2)


def bare(bench: Bench, view: View, plan: Plan, inches: float) -> Picture:
    """Return the picture of a view without anything written."""
    bench.clear()  # a light screen draws no ground, so the window has to be empty
    screen = make_screen(bench, view, plan, inches=inches)
    for each in written(screen):
        each.opacity = 0
    return bench.pixels()


def share(one: Picture, other: Picture) -> float:
    """Return the share of pixels that differ."""
    a, b = (np.frombuffer(each.data, np.uint8).reshape(-1, 3) for each in (one, other))
    return float(np.any(a != b, axis=1).mean())


@pytest.mark.parametrize("panel", ["10 inch", "7 inch upright"])
def test_any_two_phases_look_different_without_words(panel: str, bench: Bench) -> None:
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    seen: dict[Phase, list[Picture]] = {}
    for plan in (two_layers(), one_layer(HOT)):
        for view in phases(plan):
            if view.phase is not None:
                seen.setdefault(view.phase, []).append(bare(bench, view, plan, inches))
    bench.resize(1280, 800)
    assert set(seen) == set(Phase)
    alike = {
        (one.value, other.value): least
        for one, other in combinations(seen, 2)
        if (least := min(share(a, b) for a in seen[one] for b in seen[other])) < LEAST
    }
    assert alike == {}


@pytest.mark.parametrize("plan", [two_layers(), one_layer(HOT)])
def test_closings_have_a_dark_screen_and_hands_a_light_one(bench: Bench, plan: Plan) -> None:
    for view in phases(plan):
        picture = bare(bench, view, plan, 10.1)
        dark = sum(picture.data) / len(picture.data) < 90
        assert dark is (view.phase in CLOSED), view.phase


def test_each_closing_has_its_own_count_in_rhythm() -> None:
    """test_tones.py tests that no two tones share a rhythm."""
    assert set(COUNTS) == CLOSED
    assert len(set(COUNTS.values())) == len(CLOSED)
