"""The list of jobs on the real window: each job is a card with its shirt, done and left."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Person, lay_out
from station_harness import Bench
from station_tree import texts, walk

from kiosk.station.theme import film
from kiosk.station.widgets.job_card import JobCard
from kiosk.station.widgets.numeral import Numeral
from kiosk.station.widgets.progress import Progress

JOB = "Orsavel raft polo"


def card(person: Person) -> JobCard:
    """The job's card on the glass."""
    cards = (each for each in walk(person.station) if isinstance(each, JobCard))
    return next(each for each in cards if each.label.startswith(JOB))


def written(person: Person) -> set[str]:
    """What stands on the job's card."""
    return {each.text for each in texts(card(person))}


def drawn_in(bench: Bench, shown: JobCard, rgb: tuple[int, int, int]) -> int:
    """How many pixels of the card's left third have a colour."""
    picture, box = bench.pixels(), shown.box
    across = range(int(box.x), int(box.x + box.w / 3))
    return sum(picture.at(x, y) == rgb for x in across for y in range(int(box.y), int(box.top)))


def test_a_job_is_a_card_with_a_number_of_its_roster_in_its_film(
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
    assert shown.card.colour in written(person)  # a swatch never stands without its word
    ink = film(shown.card.colour)
    assert ink is not None
    assert drawn_in(bench, shown, (ink.red, ink.green, ink.blue)) > 50
    person.close()


def test_a_card_tells_done_and_left_as_the_work_goes_on(bench: Bench, tmp_path: Path) -> None:
    person = Person(bench, lay_out(tmp_path))
    person.first_start()
    assert {"0 done", "20 left"} <= written(person)
    person.sign_off()
    person.choose("Back") if person.station.desk.page.value != "jobs" else None
    person.begin(JOB)
    person.close()


@pytest.mark.parametrize(
    ("size", "inches"),
    [((1024, 600), 7.0), ((1280, 800), 10.1), ((800, 1280), 10.1), ((1920, 1080), 13.3)],
)
def test_all_six_jobs_stand_on_one_page_and_open_at_one_touch(
    bench: Bench, tmp_path: Path, size: tuple[int, int], inches: float
) -> None:
    bench.resize(*size)
    person = Person(bench, lay_out(tmp_path), inches)
    person.first_start()
    cards = [each for each in walk(person.station) if isinstance(each, JobCard)]
    assert len(cards) == len(person.station.desk.offers) == 6
    bench.pass_time(2.0)
    bench.tap(*card(person).box.centre)
    assert person.station.desk.page.value == "set up"
    person.close()
