"""Rosters begun with the supervisor's PIN despite a question (an unknown size), and sets."""

from __future__ import annotations

import re
from pathlib import Path

from station_driver import PIN, Person, lay_out
from station_harness import Bench

from kiosk.log.verify import verify
from kiosk.run.facts.questions import ScreenKind
from kiosk.run.show.parts import Ink
from kiosk.run.state.events import JobStarted
from kiosk.run.state.model import ENDED
from kiosk.station.glass.lay import texts_of

JOB, TITLE = "ice-crew", "Orsavel ice crew"


def with_roster(place: Path, roster: str) -> Path:
    lay_out(place, JOB)
    (place / "jobs" / JOB / "roster.csv").write_text(roster, "utf-8")
    return place


def signed_on(bench: Bench, place: Path, roster: str) -> Person:
    person = Person(bench, with_roster(place, roster))
    person.first_start()
    person.sign_off()
    return person


def begun(bench: Bench, place: Path, roster: str) -> Person:
    person = signed_on(bench, place, roster)
    person.begin(TITLE)
    return person


def to_laying(person: Person) -> str:
    """Go on until pieces are to be laid; return the text on the screen."""
    while not any(piece.ink is Ink.NEXT for piece in person.view.pieces):
        person.move_on()
    person.stage.pass_time(0.2)
    return person.texts().replace("\n", " ")


def test_an_unknown_size_is_asked_about_and_then_named_at_the_press(
    bench: Bench, tmp_path: Path
) -> None:
    roster = "line,size,name,number\n1,Toddler S,KOVA,31\n2,AM,FENN,5\n"
    person = signed_on(bench, tmp_path, roster)
    person.choose(TITLE, "1 question")
    assert "Toddler S" in person.texts()
    person.choose("back", "Start with the supervisor's PIN")
    person.choose(*PIN, "Enter")
    seen: dict[str, str] = {}
    while len(seen) < 2:
        said = to_laying(person)
        seen[person.view.size] = said
        while any(piece.ink is Ink.NEXT for piece in person.view.pieces):
            person.move_on()
    assert "size Toddler S not known: placed as an adult's" in seen["Toddler S"]
    assert "not known" not in seen["AM"]
    person.press_all()
    tickets = person.station.shell.state.jobs[JOB].tickets.values()
    assert {ticket.stage for ticket in tickets} <= ENDED
    person.close()
    assert verify(person.log).ok


def test_home_and_away_of_one_player_are_labelled_everywhere(bench: Bench, tmp_path: Path) -> None:
    roster = "line,size,name,number,set\n1,AM,KOVA,7,home\n2,AM,KOVA,7,away\n3,AM,FENN,5,away\n"
    person = begun(bench, tmp_path, roster)
    assert "home · AM · back" in to_laying(person)
    person.to_heat()
    assert "home" in person.texts().split("\n")
    person.until_open()
    person.answer()
    said = person.texts().replace("\n", " ")
    assert "Rack 7 home, load 7 away" in said
    assert "COLD · home" in said
    person.press_all()
    (began,) = (e for e in person.events() if isinstance(e, JobStarted))
    assert [g.set for g in began.garments] == ["home", "away", "away"]
    person.close()
    assert verify(person.log).ok


def test_a_garment_without_a_number_goes_by_its_line_at_every_move(
    bench: Bench, tmp_path: Path
) -> None:
    """Nothing else tells which one to load; its art has no number."""
    person = signed_on(bench, tmp_path, "line,size,name,number\n1,AM,KOVA,\n2,AM,FENN,5\n")
    person.choose(TITLE, "Start with the supervisor's PIN", *PIN, "Enter")
    person.answer()
    for width, height in ((1280, 800), (800, 1280)):
        bench.resize(width, height)
        shown = person.texts().split("\n")
        assert {"#1", "KOVA"} <= set(shown)
    assert person.view.kind is ScreenKind.HANDS
    to_laying(person)
    assert texts_of(person.view, "KOVA") == {"name": "KOVA"}
    assert "#1" in person.texts().split("\n")
    person.to_heat()
    assert "#1" in person.texts().split("\n")


def test_a_missing_name_or_number_is_shown_and_only_the_other_is_laid(
    bench: Bench, tmp_path: Path
) -> None:
    """The screen knows from the roster's file whose name is missing: no record holds names."""
    person = signed_on(bench, tmp_path, "line,size,name,number\n1,AM,KOVA,\n2,AM,,5\n")
    person.choose(TITLE, "Start with the supervisor's PIN", *PIN, "Enter")
    for piece, without in (("name", "#1 has no number"), ("number", "5 has no name")):
        said = to_laying(person)
        assert without in said
        assert f"CHARCOAL, {piece}" in said
        assert {each.element for each in person.view.pieces} == {piece}
        person.to_heat()
        person.until_open()
    person.press_all()
    person.close()
    assert verify(person.log).ok


def test_the_next_operator_sees_which_sets_are_on_the_rack_and_at_the_press(
    bench: Bench, tmp_path: Path
) -> None:
    roster = "line,size,name,number,set\n1,AM,KOVA,7,home\n2,AM,KOVA,7,away\n"
    person = begun(bench, tmp_path, roster)
    person.to_heat()
    person.until_open()
    while not person.station.shell.state.jobs[JOB].rack:
        person.move_on()
    person.side()
    person.choose("hand over", "The platen is clear")
    said = person.texts()
    assert "on the rack: 7 home" in said
    assert "Platen clear, next: number 7 away" in said
    person.close()


def test_a_roster_without_sets_shows_none(bench: Bench, tmp_path: Path) -> None:
    roster = "line,size,name,number\n1,AM,KOVA,7\n2,AM,FENN,5\n"
    person = begun(bench, tmp_path, roster)
    said = to_laying(person)
    assert "AM · back" in said
    assert "· AM" not in said


def test_questions_that_do_not_fit_are_on_the_next_page(bench: Bench, tmp_path: Path) -> None:
    rows = "".join(f"{n},Toddler S,KOVA{chr(64 + n)},{n}\n" for n in range(1, 10))
    person = signed_on(bench, tmp_path, f"line,size,name,number\n{rows}")
    person.choose(TITLE, "9 questions")
    asked = re.compile(r"Row (\d+): size: unknown size")
    rows_asked: list[int] = []
    for _ in range(3):
        rows_asked += map(int, asked.findall(" ".join(person.texts().split())))
        person.choose("more")
    assert rows_asked == list(range(2, 11))
    assert "Row 2: " in person.texts()  # round to the first
    person.choose("more", "back", "9 questions")
    assert "Row 2: " in person.texts()  # from the first again
    person.close()


def test_all_faults_of_a_job_can_be_read_page_by_page(bench: Bench, tmp_path: Path) -> None:
    place = with_roster(tmp_path, "line,size,name,number\n1,AM,KOVA,7\n")
    job = place / "jobs" / JOB / "job.yaml"
    wrong = [f"wrong_{nth}" for nth in range(9)]
    job.write_text(job.read_text("utf-8") + "".join(f"{key}: x\n" for key in wrong), "utf-8")
    person = Person(bench, place)
    person.first_start()
    person.sign_off()
    for _ in range(2):  # opened again, it begins with the first
        person.choose(JOB)  # it has no title while it cannot be read
        read: list[str] = []
        for _ in range(3):
            read += re.findall(
                r"job\.yaml:\d+: (\w+): unknown key", " ".join(person.texts().split())
            )
            person.choose("more")
        assert read == wrong
        person.choose("more", "back")
    person.close()
