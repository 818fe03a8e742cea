"""Warm and cold carriers in one closing, pressed by touches from the first start to the end."""

from __future__ import annotations

import re
from pathlib import Path

from station_driver import ROOT, Foot, Person, lay_out, shorten
from station_harness import Bench

from kiosk.__main__ import main
from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import View
from kiosk.run.state.events import Closed, Confirmed, Finished
from kiosk.run.state.model import TicketStage

JOB = "raft-polo"
RECIPE = """title: Name warm, number cold
panels:
  - panel: back
    elements:
      - {element: name, layers: [{material: warm-sheet, colour: red}]}
      - {element: number, layers: [{material: cold-sheet, colour: red}]}
"""


def staged(place: Path) -> Path:
    """Add copies of the shop's printed digits: one sheet that peels warm only, one cold only."""
    lay_out(place, JOB)
    sheets = (ROOT / "recipes" / "materials.yaml").read_text("utf-8")
    found = re.search(r"^printed-digits:\n(?:  .*\n)+", sheets, re.M)
    assert found is not None
    for peel in ("warm", "cold"):
        own = found[0].replace("printed-digits", f"{peel}-sheet", 1)
        sheets += re.sub(r"allowed: \[.*?\]", f"allowed: [{peel}]", own)
    (place / "recipes" / "materials.yaml").write_text(sheets, "utf-8")
    (place / "recipes" / "staged.yaml").write_text(RECIPE, "utf-8")
    job = place / "jobs" / JOB
    text = (job / "job.yaml").read_text("utf-8").replace("two-layer-pair", "staged")
    (job / "job.yaml").write_text(text, "utf-8")
    (job / "roster.csv").write_text("line,size,name,number\n1,AM,KOVA,12\n2,AM,FENN,5\n", "utf-8")
    return place


def words_on(person: Person) -> str:
    return person.texts().replace("\n", " ")


def test_warm_is_peeled_in_hand_then_cold_on_the_rack(bench: Bench, tmp_path: Path) -> None:
    person = Person(bench, staged(tmp_path))
    person.first_start()
    person.sign_off()
    person.begin("Orsavel raft polo")
    person.to_heat(closings=2)
    assert "some warm, the others cold" in words_on(person)
    person.until_open()
    person.answer()
    assert "Peel 12 warm, load 5" in words_on(person)
    person.to_heat(closings=2)
    person.until_open()

    def ready(view: View) -> bool:
        return view.kind is ScreenKind.HANDS and view.bar.meaning is not None

    person.until(ready)  # nothing is left to load: the warm peel of the last is a tap
    assert "Number 5: peeled warm" in words_on(person)
    person.forward()
    person.stage.pass_time(0.5)
    assert "Wait, peel cold" in words_on(person)
    person.press_all()
    job = person.station.shell.state.jobs[JOB]
    assert {ticket.stage for ticket in job.tickets.values()} == {TicketStage.GOOD}
    events = person.events()
    (warm,) = (e for e in events if isinstance(e, Confirmed))
    assert (warm.ticket, warm.early_seconds) == ("2/1/1", None)
    assert [e.racked for e in events if isinstance(e, Closed) and e.racked] == ["1/1/1"]
    assert [e.early_seconds for e in events if isinstance(e, Finished)] == [None, None]
    person.close()
    assert verify(person.log).ok


def test_the_last_shirt_is_peeled_hot_before_any_on_the_rack(bench: Bench, tmp_path: Path) -> None:
    """By pedal alone: the name comes off hot at the press, and the racked numbers are due too."""
    lay_out(tmp_path, "ferry-relay")
    shorten(tmp_path, "ferry-relay", "234")
    foot = Foot(bench, tmp_path)
    foot.first_start()
    foot.sign_off()
    foot.begin("Orsavel ferry relay")
    foot.to_heat(closings=6)
    foot.until_open()
    foot.stage.pass_time(300.0)  # interrupted: every number on the rack is cold by now
    number = foot.view.number
    assert f"Number {number}: peeled hot" in words_on(foot)
    foot.press()
    assert f"Number {number}" not in words_on(foot)
    foot.press_all()
    (hot,) = (e for e in foot.events() if isinstance(e, Confirmed))
    assert hot.ticket.startswith("4/")
    foot.close()
    assert verify(foot.log).ok


def test_a_simulation_peels_in_stages_too(tmp_path: Path) -> None:
    place = staged(tmp_path)
    log = tmp_path / "simulated.sqlite3"
    job = [str(place / "jobs" / JOB), "--recipes", str(place / "recipes"), "--log", str(log)]
    assert main(["simulate", *job, "--seed", "2"]) == 0
    verdict = verify(log)
    assert (verdict.ok, verdict.pressed_twice) == (True, 0)
