"""When a job will be done: on the set-up page, on hold and in the header, and its basis."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from mistakes import PLAIN, at, said
from station_driver import Person
from station_harness import Bench
from station_scenes import SCENES, names
from station_screen import PANELS
from station_tree import texts, walk

from kiosk.catalog.base.notes import say
from kiosk.catalog.model.house import StationSettings
from kiosk.log.facts.shifts import cycles
from kiosk.log.store.store import Store
from kiosk.plan.time.finish import time_left
from kiosk.plan.time.handling import PastCycles, procedure
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.state.event import Now
from kiosk.station.desk.jobs.finish import ROUND_SECONDS, finish
from kiosk.station.glass.screens.work import WorkScreen
from kiosk.station.glass.widgets.heading import Heading
from kiosk.words import Words

TWELVE = "".join(f"{n},AS,QUILLON,{n + 30}\n" for n in range(1, 13))
RANGE = re.compile(r"done (\d\d):(\d\d) to (\d\d):(\d\d)(?:, by | \()")


def told(person: Person) -> tuple[int, int]:
    """Return the range on the screen, in minutes since midnight."""
    found = RANGE.search(said(person))
    assert found is not None, said(person)
    first, last = (60 * int(found[n]) + int(found[n + 1]) for n in (1, 3))
    return first, last + (24 * 60 if last < first else 0)


def minute_now(person: Person) -> int:
    now = datetime.fromtimestamp(person.now().wall)
    return 60 * now.hour + now.minute


def on_the_five_minutes(person: Person) -> None:
    """Set the wall clock back to a whole five minutes: the rounding of a range depends on it."""
    person.wall_moved -= person.now().wall % ROUND_SECONDS


def hold(person: Person) -> None:
    person.answer()
    person.side()


def test_on_hold_the_finish_is_a_range_of_future_clock_times(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path, TWELVE, PLAIN)
    hold(person)
    first, last = told(person)
    assert minute_now(person) <= first < last
    assert first % 5 == last % 5 == 0
    assert "typical handling times" in said(person)
    person.close()


def test_the_set_up_page_shows_the_finish_before_the_job_begins(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, TWELVE, PLAIN)
    hold(person)
    on_hold = told(person)
    person.choose("Put the job back", PLAIN[1])
    first, last = told(person)
    assert abs(first - on_hold[0]) <= 5
    assert abs(last - on_hold[1]) <= 5
    person.close()


def test_after_ten_cycles_the_finish_uses_the_shops_own_times(bench: Bench, tmp_path: Path) -> None:
    """Twelve garments make eleven cycles; the next lot with the same steps uses them."""
    person = at(bench, tmp_path, TWELVE, PLAIN)
    on_the_five_minutes(person)
    hold(person)
    plain = told(person)
    person.forward()
    person.press_all()
    job = person.station.shell.state.job
    assert job is not None
    person.choose("Put the job away")
    with Store.read_only(person.log) as store:
        found = cycles(store)[procedure(job.plan, 0)]
    assert len(found) == 11
    again = tmp_path / "jobs" / "again"
    again.mkdir()
    for name in ("job.yaml", "roster.csv"):
        text = (tmp_path / "jobs" / PLAIN[0] / name).read_text("utf-8")
        (again / name).write_text(text.replace("winter jackets", "second lot"), "utf-8")
    on_the_five_minutes(person)
    person.choose("Supervisor", "2", "4", "6", "8", "Enter", "back", "Orsavel ice crew, second")
    assert "(11 garments of this shop)" in said(person)
    first, last = told(person)
    assert last - first < plain[1] - plain[0]  # its own handling times are known
    per_garment = sorted(found)[len(found) // 2]
    begun = minute_now(person)
    assert first - 5 <= begun + 12 * per_garment / 60 <= last + 5
    person.close()


def test_the_finish_comes_nearer_as_garments_are_done(bench: Bench, tmp_path: Path) -> None:
    person = at(bench, tmp_path, TWELVE, PLAIN)
    hold(person)
    whole = told(person)[1] - minute_now(person)
    person.forward()
    ended = len(person.events())
    for _ in range(6):
        ticket = person.view.ticket
        while person.view.ticket == ticket:
            person.move_on()
    assert len(person.events()) > ended
    while not person.view.hold:
        person.move_on()
    hold(person)
    assert told(person)[1] - minute_now(person) < whole
    person.close()


# -- in the header of the work screen ----------------------------------------

HEADER = re.compile(r"done (\d\d):(\d\d)–(\d\d):(\d\d)")


def in_header(person: Person) -> str:
    found = HEADER.search(said(person))
    assert found is not None, said(person)
    return found[0]


def test_the_header_shows_the_finish_on_light_and_dark_screens(
    bench: Bench, tmp_path: Path
) -> None:
    person = at(bench, tmp_path, TWELVE, PLAIN)
    person.answer()
    light = in_header(person)
    hours = [int(part) for part in re.findall(r"\d+", light)]
    first, last = hours[0] * 60 + hours[1], hours[2] * 60 + hours[3]
    assert minute_now(person) <= first < last
    person.forward()
    assert person.view.kind is ScreenKind.HEAT
    assert in_header(person) == light
    person.close()


@pytest.mark.parametrize("panel", PANELS)
def test_the_finish_fits_in_the_header_on_every_panel(bench: Bench, panel: str) -> None:
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES["lay-one"]()
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(Words("en"), settings, names, clock=bench.clock)
    screen.plan = plan
    told = say("station.finish.header", first="14:25", last="15:40")
    screen.show(replace(view, finish=told))
    (heading,) = (each for each in walk(screen) if isinstance(each, Heading))
    shown = [text for text in texts(heading) if "done 14:25–15:40" in text.text]
    assert len(shown) == 1
    assert all(text.fitted.share == 1 for text in texts(heading))
    assert any(text.text.startswith("Ferr") for text in texts(heading))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_a_jobs_title_is_whole_on_every_panel(bench: Bench, panel: str, language: str) -> None:
    """Two jobs of one customer begin alike: "Orsavel raf…" names neither."""
    wide, high, inches = PANELS[panel]
    bench.resize(wide, high)
    view, plan = SCENES["lay-one"]()
    settings = StationSettings(screen_inches=inches)
    screen = WorkScreen(Words(language), settings, names, clock=bench.clock)
    screen.plan = plan
    least, most = say("pressure.light-medium"), say("pressure.medium-firm")
    setting = say(
        "setting.header_range",
        press="heron", temperature="312", unit="F", low=least, high=most, seconds=12,
    )  # fmt: skip
    told = say("station.finish.header", first="14:25", last="15:40")
    title = "Orsavel raft polo, league shirts"
    screen.show(replace(view, title=title, setting=setting, finish=told))
    (heading,) = (each for each in walk(screen) if isinstance(each, Heading))
    said = [text.text for text in texts(heading)]
    assert title in said
    assert any("312 °F" in each for each in said)
    assert any(f"1 {'de' if language == 'es' else 'of'} 6" in each for each in said)
    assert all(text.fitted.share == 1 for text in texts(heading))


def test_the_headers_finish_uses_this_jobs_own_pace(bench: Bench, tmp_path: Path) -> None:
    """Without reading the log again: twelve garments done meanwhile, 200 s from tone to tone."""
    rows = "".join(f"{n},AS,QUILLON,{n + 30}\n" for n in range(1, 31))
    person = at(bench, tmp_path, rows, PLAIN)
    person.answer()
    job, view, wall = person.station.shell.state.job, person.view, person.now().wall
    forecast = person.station.desk.forecast
    assert job is not None
    made = {
        name: replace(job.tickets[name], opened=Now("boot", 0.0, wall + 200.0 * n))
        for n, name in enumerate(job.queue[:12])
    }
    later = replace(job, queue=job.queue[12:], tickets={**job.tickets, **made})
    before = forecast.on_screen(view, job, wall + 2400.0).finish
    after = forecast.on_screen(view, later, wall + 2400.0).finish
    past = {0: PastCycles(11, 200.0, 200.0)}
    left = time_left(job.plan, {0: len(later.queue) + 1}, past)
    assert after == finish(left, wall + 2400.0, "station.finish.header") != before
    person.close()


def test_while_the_press_is_set_the_headers_finish_includes_settling(
    bench: Bench, tmp_path: Path
) -> None:
    """The set-up page counted it already: a tap on *start* must not bring the finish nearer.

    3 to 10 minutes to another temperature: common practice, no source.
    """
    person = at(bench, tmp_path, TWELVE, PLAIN)
    while person.view.kind is not ScreenKind.SETTING:  # its first page is the press
        person.move_on()
    ends = [HEADER.search(said(person))]
    person.answer()
    ends.append(HEADER.search(said(person)))
    being_set, is_set = (60 * int(e[3]) + int(e[4]) for e in ends if e is not None)
    assert 5 <= being_set - is_set <= 15
    person.close()
