"""The list of jobs in the real window: each job is a card with its shirt and its progress."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from station_driver import PIN, Person, lay_out
from station_harness import Bench
from station_tree import texts, walk
from stored import Stored, stored_from

from kiosk.station.desk.sheet import PageKind
from kiosk.station.desk.shift.report import ReportShown
from kiosk.station.glass.theme import film
from kiosk.station.glass.widgets.figures import JobCard
from kiosk.station.glass.widgets.heading import Progress
from kiosk.station.glass.widgets.marks import Numeral

JOB = "Orsavel raft polo"


def card(person: Person, *titles: str) -> JobCard:
    """Return the job's card on the screen."""
    cards = (each for each in walk(person.station) if isinstance(each, JobCard))
    return next(each for each in cards if each.label.startswith(titles or (JOB,)))


def written(person: Person, title: str = JOB) -> set[str]:
    """Return the texts on the job's card."""
    return {each.text for each in texts(card(person, title))}


def bar(person: Person, title: str) -> Progress:
    """Return the bar on a job's card."""
    return next(each for each in walk(card(person, title)) if isinstance(each, Progress))


def drawn_in(bench: Bench, shown: JobCard, rgb: tuple[int, int, int]) -> int:
    """Return how many pixels of the card's left third have a colour."""
    picture, box = bench.pixels(), shown.box
    across = range(int(box.x), int(box.x + box.w / 3))
    return sum(picture.at(x, y) == rgb for x in across for y in range(int(box.y), int(box.top)))


def test_a_job_card_shows_a_number_from_its_roster_in_its_film(
    bench: Bench, tmp_path: Path
) -> None:
    person = Person(bench, lay_out(tmp_path))
    person.first_start()
    offer = next(o for o in person.station.desk.offers if o.title.startswith(JOB))
    shown = card(person)
    numbers = [each.text for each in walk(shown) if isinstance(each, Numeral)]
    assert len(numbers) == 1
    assert numbers[0] in {line.number for line in offer.roster}
    assert offer.plan is not None
    tops = {p.colour for p in offer.plan.pieces if p.element == "number" and p.layer == p.layers}
    assert shown.card.colour in tops
    assert shown.card.colour in written(person)  # a swatch always comes with its word
    ink = film(shown.card.colour)
    assert ink is not None
    assert drawn_in(bench, shown, (ink.red, ink.green, ink.blue)) > 50
    person.close()


ICE_CREW = "Orsavel ice crew"


@dataclass(frozen=True)
class Worked:
    """The texts and the bar of a job's card, before and after; another card; and the shop."""

    before: tuple[set[str], float]
    after: tuple[set[str], float]
    other: set[str]
    stored: Stored


@pytest.fixture(scope="module")
def worked(_bench: Bench, tmp_path_factory: pytest.TempPathFactory) -> Worked:
    """A job pressed to its end and put away."""
    _bench.resize(1280, 800)
    person = Person(_bench, lay_out(tmp_path_factory.mktemp("shop")))
    person.first_start()
    before = written(person, ICE_CREW), bar(person, ICE_CREW).share
    person.sign_off()
    person.begin(ICE_CREW)
    person.press_all()
    person.choose("Put the job away")
    after = written(person, ICE_CREW), bar(person, ICE_CREW).share
    return Worked(before, after, written(person, JOB), stored_from(person))


def test_a_card_shows_done_and_left_before_and_after_the_work(worked: Worked) -> None:
    assert {"0 done", "11 left"} <= worked.before[0]
    assert worked.before[1] == 0
    assert {"11 done", "0 left"} <= worked.after[0]
    assert worked.after[1] == 1
    assert {"0 done", "20 left"} <= worked.other


def test_a_job_with_faults_shows_them_instead_of_progress(bench: Bench, tmp_path: Path) -> None:
    place = lay_out(tmp_path)
    (place / "jobs" / "raft-polo" / "roster.csv").write_text("nonsense\n", encoding="utf-8")
    person = Person(bench, place)
    person.first_start()
    shown = card(person, "raft-polo", "Orsavel raft polo")
    assert "1 fault: touch to read" in {each.text for each in texts(shown)}
    assert not [each for each in walk(shown) if isinstance(each, Progress)]
    bench.pass_time(2.0)
    bench.tap(*shown.box.centre)
    assert person.station.desk.page is PageKind.FAULTS
    person.close()


@pytest.mark.parametrize(
    ("size", "inches", "on_page"),
    [
        ((1024, 600), 7.0, 5),
        ((600, 1024), 7.0, 5),
        ((1280, 800), 10.1, 6),
        ((800, 1280), 10.1, 6),
        ((1920, 1080), 13.3, 6),
    ],
)
def test_a_full_page_of_jobs_fits_and_one_touch_opens_a_job(
    bench: Bench, tmp_path: Path, size: tuple[int, int], inches: float, on_page: int
) -> None:
    """Six on 10 inches; on 7 as many as when a job was a plain button."""
    bench.resize(*size)
    person = Person(bench, lay_out(tmp_path), inches)
    person.first_start()
    cards = [each for each in walk(person.station) if isinstance(each, JobCard)]
    assert len(cards) == on_page
    for shown in cards:
        assert [each for each in walk(shown) if isinstance(each, Progress)]
    bench.pass_time(2.0)
    bench.tap(*cards[-1].box.centre)
    assert person.station.desk.page is PageKind.SET_UP
    assert person.station.desk.offer is not None
    assert person.station.desk.offer.title == cards[-1].label
    person.close()


def test_the_shift_report_begins_with_its_counts(
    bench: Bench, tmp_path: Path, worked: Worked
) -> None:
    person = worked.stored.again(bench, tmp_path)
    person.choose("Supervisor", *PIN, "Enter", "This shift")
    assert person.station.desk.page is PageKind.REPORT
    assert person.station.sheet is not None
    said = [each for each in texts(person.station.sheet) if each.text.startswith("11\u00a0good")]
    assert [each.text for each in said] == ["11\u00a0good · 0\u00a0scrap · 0\u00a0open"]
    pace = person.station.sheet.sheet.second
    report = person.station.desk.of(ReportShown).report
    assert report is not None
    jobs = next(t.data()["jobs"] for t in report.topics if t.question == "behind")
    assert isinstance(jobs, list)
    (job,) = jobs
    assert pace == f"11 made, {round(11 * 3600 / job['used_seconds'])} garments an hour"
    assert {each.text for each in texts(person.station.sheet)} >= {pace}
    person.close()


PANELS = [((600, 1024), 7.0), ((1024, 600), 7.0), ((800, 1280), 10.1), ((1280, 800), 10.1)]


@pytest.mark.parametrize(("size", "inches"), PANELS)
def test_set_up_begins_with_the_setting_and_what_to_fetch(
    bench: Bench, tmp_path: Path, size: tuple[int, int], inches: float
) -> None:
    """Setting, then what to fetch, each larger than every line; the setting is shown once."""
    bench.resize(*size)
    person = Person(bench, lay_out(tmp_path), inches)
    person.first_start()
    person.choose(JOB)
    sheet = person.station.sheet
    assert sheet is not None
    setting = "312 °F · 12 s · light-medium to medium-firm"
    offer = next(o for o in person.station.desk.offers if o.title.startswith(JOB))
    digits = sum(len(line.number) for line in offer.roster)
    letters = sum(not c.isspace() for line in offer.roster for c in line.name)
    fetch = sheet.sheet.second
    assert fetch.startswith(f"Fetch: {len(offer.roster)} garments, ")
    assert f", {digits} " in fetch
    assert not letters or f", {letters} " in fetch
    assert fetch.endswith("cover sheet")
    shown = texts(sheet)
    size_of = {each.text: each.fitted.em for each in shown}
    top = {each.text: each.ink.top for each in shown}
    rest = {text for text in top if "recipe" in text or sheet.sheet.lines[-1] in text}
    assert rest
    assert size_of[setting] > size_of[fetch] > max(size_of[text] for text in rest)
    assert top[setting] > top[fetch] > max(top[text] for text in rest)
    assert sum("312 °F" in line for line in size_of) == 1
    person.close()


def test_pieces_without_a_colour_are_listed_by_count_alone(bench: Bench, tmp_path: Path) -> None:
    """A layer's colour may be left out (design.md, section 5)."""
    lay_out(tmp_path, "ice-crew")
    recipe = tmp_path / "recipes" / "plush-pair.yaml"
    text = recipe.read_text("utf-8")
    recipe.write_text(text.replace(", colour: charcoal", "", 1), "utf-8")
    person = Person(bench, tmp_path)
    person.first_start()
    person.choose("Español", "Orsavel")
    told = " ".join(person.texts().split())
    assert re.search(r"Traer: 11 prendas, \d+ letras, \d+ cifras en CHARCOAL", told)
    person.close()
