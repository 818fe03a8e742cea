"""Setting the press while garments cool: what is due on the rack is shown and can be touched."""

from __future__ import annotations

import pytest
from station_harness import Bench
from station_scenes import set_beside_the_rack
from station_screen import PANELS, Requests, drawing_of, make_screen
from station_tree import walk, written
from view_cases import COLD, one_layer

from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state import commands as c
from kiosk.run.state.model import TicketStage
from kiosk.station.desk.sheet import ChipTouched
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.buttons import NumberPad
from kiosk.station.glass.widgets.ribbon import ChipBox
from kiosk.words import Words

LATE = {"en": "late: peel now", "es": "tarde: despegar ya"}


def chips(screen: WorkScreen) -> list[ChipBox]:
    return [each for each in walk(screen) if isinstance(each, ChipBox)]


@pytest.mark.parametrize("language", LATE)
@pytest.mark.parametrize("panel", PANELS)
def test_a_late_peel_is_shown_while_the_press_is_set(
    bench: Bench, panel: str, language: str
) -> None:
    screen = drawing_of(bench, "setting-late", panel, lambda _: Words(language))
    assert any(LATE[language] in each.text.replace("\n", " ") for each in written(screen))
    assert any("300" in each.text for each in written(screen))


def test_a_peel_that_falls_due_appears_by_itself(bench: Bench) -> None:
    station = set_beside_the_rack(late=False)
    screen = make_screen(bench, station.see(), one_layer(COLD))
    assert [each.number for each in chips(screen)] == ["31"]
    station.clock += 225.0
    screen.show(station.see())
    assert [each.number for each in chips(screen)] == ["31", "48", "5"]


def test_a_touched_chip_gets_its_result_before_the_press_is_set(bench: Bench) -> None:
    station, asked = set_beside_the_rack(), Requests()
    screen = make_screen(bench, station.see(), one_layer(COLD), asked)
    bench.tap(*chips(screen)[0].box.centre)
    touched = asked.only
    assert isinstance(touched, ChipTouched)
    shown = station.see(touched.ticket)
    assert shown.inspect_ticket == touched.ticket
    screen.show(shown)
    bench.wait(0.6)
    foot = screen.painted.foot if screen.painted else None
    assert foot is not None
    bench.tap(*foot.bar.centre)
    assert not [each for each in walk(screen) if isinstance(each, NumberPad)]  # a result first
    station.do(c.Inspect(touched.ticket, TicketStage.GOOD))
    again = station.see(touched.ticket)
    assert again.kind is ScreenKind.SETTING
    assert again.ask is not None
    assert touched.ticket not in {chip.ticket for chip in again.chips}
