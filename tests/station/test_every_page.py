"""Every page and picture of the demo's shift: a walk over the live tree.

The shift is played once; each of its pictures is then drawn again on the smallest screen in
Spanish, both ways up, and on some of the other screens in turn, in English, Spanish and a made-up
language a third longer. `python -m tests.station.station_audit_all` draws all of them on all.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

import pytest
from station_audit import clipped, height_kept, overlapping, too_small
from station_harness import Bench
from station_tour import SIZES, TONGUES, Glass, Stop, Tour, scenes, shift
from station_tree import written

from kiosk.run.facts.questions import ScreenKind
from kiosk.station.demo.play import WindowSize
from kiosk.station.desk.sheet import PageKind
from kiosk.words.speak import catalogue

# Share of the height required by their distance that letters keep. On 7 inches words of 22' and
# lines of 16' do not always fit side by side; a third longer they give up a little on 10 inches
# too.
KEPT = {
    (13.3, "en"): 1.0, (13.3, "es"): 0.82, (13.3, "long"): 1.0,
    (10.1, "en"): 0.94, (10.1, "es"): 0.82, (10.1, "long"): 0.82,
    (7.0, "en"): 0.79, (7.0, "es"): 0.73, (7.0, "long"): 0.7,
}  # fmt: skip
# What only English says. Words from the shop's files are shown as written.
WRITTEN = {"no", "asked", "required", "hot", "warm", "cold", "back", "front", "number", "name"}
WRITTEN |= {"station"}  # a key of shop.yaml
SPANISH = {form for forms in catalogue("es").forms.values() for form in forms}
ONCE = {forms[0] for forms in catalogue("en").forms.values() if len(forms) == 1}
ENGLISH = {form for form in ONCE if "{" not in form} - SPANISH - WRITTEN
KEY = re.compile(r"[^\W\d_]+_\w")
"""A key of a file or a record; a blank to fill in has underscores alone."""
ALWAYS = {(look, "es") for look in SIZES if look.inches < 8}
IN_TURN = [pair for pair in product(SIZES, TONGUES) if pair not in ALWAYS]
EACH = 2  # of those in turn, for every picture


@dataclass
class Seen:
    """The faults of all pictures, each with its name, screen and language."""

    tour: Tour
    gloves: list[str] = field(default_factory=list)
    cut: list[str] = field(default_factory=list)
    shared: list[str] = field(default_factory=list)
    small: list[str] = field(default_factory=list)
    english: list[str] = field(default_factory=list)
    keys: list[str] = field(default_factory=list)
    drawn: Counter[tuple[WindowSize, str]] = field(default_factory=Counter)

    def look_at(self, stop: Stop, look: WindowSize, tongue: str) -> None:
        """Draw a picture and note its faults."""
        glass = Glass(stop, look, tongue)
        name = f"{stop.name} {look.name} {tongue}"
        self.gloves += [f"{name}: {fault}" for fault in too_small(glass)]
        self.cut += [f"{name}: {fault}" for fault in clipped(glass)]
        self.shared += [f"{name}: {fault}" for fault in overlapping(glass)]
        if (share := height_kept(glass)) < KEPT[look.inches, tongue]:
            self.small.append(f"{name}: {share}")
        said = {each.text for each in written(glass)}
        self.keys += [f"{name}: {text}" for text in sorted(said) if KEY.search(text)]
        if tongue == "es":
            self.english += [f"{name}: {text}" for text in sorted(said & ENGLISH)]
        self.drawn[look, tongue] += 1


def wanted(stops: list[Stop]) -> Iterator[tuple[WindowSize, str, Stop]]:
    """Yield which picture to draw where, sorted so that the window is seldom resized."""
    pairs = [(*pair, stop) for stop in stops for pair in ALWAYS]
    for nth, stop in enumerate(stops):
        pairs += [(*IN_TURN[(EACH * nth + each) % len(IN_TURN)], stop) for each in range(EACH)]
    yield from sorted(pairs, key=lambda pair: (SIZES.index(pair[0]), pair[1]))


@pytest.fixture(scope="module")
def seen(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Seen:
    """The shift and the scenes drawn again."""
    tour = shift(_bench, tmp_path_factory.mktemp("shift"))
    found = Seen(tour)
    for look, tongue, stop in wanted([*tour.stops, *scenes()]):
        _bench.resize(look.width, look.height)
        found.look_at(stop, look, tongue)
    _bench.resize(1280, 800)
    _bench.clear()
    return found


def test_every_target_is_large_enough_for_a_glove(seen: Seen) -> None:
    """At least 15 mm, no overlap, 5 mm of dead gap beside the bar."""
    assert seen.gloves == []


def test_nothing_is_cut_off(seen: Seen) -> None:
    assert seen.cut == []


def test_no_text_overlaps_another(seen: Seen) -> None:
    assert seen.shared == []


def test_letters_keep_their_height(seen: Seen) -> None:
    assert seen.small == []


def test_a_spanish_screen_has_no_english(seen: Seen) -> None:
    assert seen.english == []


def test_no_screen_shows_a_key_of_a_file(seen: Seen) -> None:
    assert seen.keys == []


def test_the_shift_reaches_every_page_and_kind_of_view(seen: Seen) -> None:
    assert set(PageKind) - seen.tour.pages == set()
    assert {kind for kind in ScreenKind if kind is not ScreenKind.NEW} - seen.tour.kinds == set()


def test_every_screen_is_drawn_in_every_language(seen: Seen) -> None:
    assert set(seen.drawn) == set(product(SIZES, TONGUES))
