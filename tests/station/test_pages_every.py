"""Every page and picture of the demo's shift, on three panels: a walk over the live tree."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from station_audit import at_one_place, clipped, for_no_glove, kept
from station_driver import ROOT
from station_harness import Bench

from kiosk.run.views import Kind
from kiosk.station.demo.__main__ import lay_out
from kiosk.station.demo.hands import Hands
from kiosk.station.demo.play import Look
from kiosk.station.demo.shift import Shift
from kiosk.station.desk import Page

LOOKS = (Look(1280, 800, 10.1), Look(800, 1280, 10.1), Look(1024, 600, 7.0))
# What letters keep of the height that their distance asks: on 7 inches words of 22' and lines
# of 16' do not always fit beside each other.
KEPT = {10.1: 0.96, 7.0: 0.78}


@dataclass
class Seen:
    """What was wrong with any picture, by the name of the picture."""

    look: Look
    gloves: list[str] = field(default_factory=list)
    cut: list[str] = field(default_factory=list)
    shared: list[str] = field(default_factory=list)
    kept: dict[str, float] = field(default_factory=dict)
    pages: set[Page] = field(default_factory=set)
    kinds: set[Kind] = field(default_factory=set)

    def look_at(self, name: str, hands: Hands) -> None:
        """Take a picture down."""
        station = hands.station
        self.gloves += [f"{name}: {fault}" for fault in for_no_glove(station)]
        self.cut += [f"{name}: {fault}" for fault in clipped(station)]
        self.shared += [f"{name}: {fault}" for fault in at_one_place(station)]
        self.kept[name] = min(kept(station), self.kept.get(name, 1.0))
        self.pages.add(station.desk.page)
        self.kinds.add(hands.view.kind)


@pytest.fixture(scope="module", params=LOOKS, ids=lambda look: look.name)
def seen(
    request: pytest.FixtureRequest, _bench: Bench, tmp_path_factory: pytest.TempPathFactory
) -> Seen:
    """The demo's shift played once on a panel."""
    look = request.param
    place = tmp_path_factory.mktemp(look.name)
    lay_out(place, ROOT / "recipes", ROOT / "shared" / "jobs")
    _bench.resize(look.width, look.height)
    hands, found = Hands(_bench, place, look.inches), Seen(look)
    try:
        Shift(hands, lambda name: found.look_at(name, hands)).play()
    finally:
        hands.close()
        _bench.resize(1280, 800)
        _bench.clear()
    return found


def test_everything_to_be_touched_is_for_a_glove(seen: Seen) -> None:
    """15 mm at the least, nothing on another, 5 mm of dead gap beside the bar."""
    assert seen.gloves == []


def test_nothing_is_cut_off(seen: Seen) -> None:
    assert seen.cut == []


def test_no_text_lies_on_another(seen: Seen) -> None:
    assert seen.shared == []


def test_letters_keep_their_height(seen: Seen) -> None:
    least = KEPT[seen.look.inches]
    assert {name: share for name, share in seen.kept.items() if share < least} == {}


def test_the_shift_comes_by_every_page_and_picture(seen: Seen) -> None:
    assert set(Page) - seen.pages == set()
    assert {kind for kind in Kind if kind is not Kind.NEW} - seen.kinds == set()
