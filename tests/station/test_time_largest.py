"""The time of a closing is the largest thing on a dark screen, also with garments cooling."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Person, lay_out, shorten
from station_harness import Bench
from station_screen import PANELS
from station_tree import texts, walk

from kiosk.run.facts.questions import ScreenKind
from kiosk.station.glass.widgets.marks import Digits, Numeral


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", ["7 inch", "7 inch upright"])
def test_the_time_is_the_largest_thing_with_two_garments_on_the_rack(
    bench: Bench, tmp_path: Path, panel: str, language: str
) -> None:
    """looks.md, 4. A Spanish move in two rows left the time no larger than the move."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    lay_out(tmp_path, "ice-crew")
    shorten(tmp_path, "ice-crew", "1234")
    shop = tmp_path / "recipes" / "shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("language: en", f"language: {language}"))
    person = Person(bench, tmp_path, inches)
    person.first_start()
    person.sign_off()
    person.begin("Orsavel")
    while len(person.view.chips) < 2 or person.view.kind is not ScreenKind.HEAT:
        person.move_on()
    person.until_open()
    person.to_heat()
    bench.pass_time(4.0)
    assert person.view.kind is ScreenKind.HEAT
    (time,) = [each.em for each in walk(person.station.live) if isinstance(each, Digits)]
    others = [each.fitted.em for each in texts(person.station.live)]
    others += [each.em for each in walk(person.station.live) if isinstance(each, Numeral)]
    assert time > 1.5 * max(others)  # clearly: our choice, no source
    person.close()
