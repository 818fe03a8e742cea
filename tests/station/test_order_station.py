"""A customer's file to a job by touches on the real window: every doubt asked, nothing lost."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Iterator
from concurrent.futures import Executor, Future
from pathlib import Path

import pytest
from station_driver import PIN, Person, lay_out
from station_harness import Bench
from station_tree import walk

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "catalog"))

from customer_files import (
    BOOK_ANSWERS,
    BOOK_LINES,
    CSV_ANSWERS,
    CSV_LINES,
    PASTE_ANSWERS,
    PASTE_LINES,
    Answered,
    write_all,
)
from new_sheets import FILM, SAID, filled

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.entries import keep
from kiosk.catalog.read import list_jobs, read_catalog, read_job
from kiosk.catalog.rules import read_face
from kiosk.plan.procedure import placement_faults
from kiosk.run.state.events_shift import OrderTaken, RecipesRead
from kiosk.station.desk.jobs.order import Ordering
from kiosk.station.desk.jobs.order_read import Step
from kiosk.station.desk.sheet import Button
from kiosk.station.glass.widgets.lay_drawing import ProofDrawing

COLUMNS = {
    "Rückennummer": "number",
    "Spielername": "name",
    "Größe": "size",
    "Bemerkung": "not used",
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop with one small job and the three files in its inbox; copied by each story."""
    place = lay_out(tmp_path_factory.mktemp("orders"), "raft-polo")
    write_all(place / "inbox")
    return place


def at(bench: Bench, shop: Path, place: Path) -> Person:
    """A person at the jobs of a copy of the shop."""
    shutil.copytree(shop, place, dirs_exist_ok=True)
    person = Person(bench, place)
    person.first_start()
    return person


def ordering(person: Person) -> Ordering:
    return person.station.desk.of(Ordering)


TWO_LAYERS = ("Name and number in two layers", "Piqué", "heron", "Film and colours are right")


def to_doubts(person: Person, file: str, *what: str) -> None:
    """From the jobs to the first doubt: the file, its columns, what it is."""
    person.choose("New order", file)
    if ordering(person).step is Step.DOUBT:  # which sheet
        assert "Order" in person.texts()
        person.choose("Yes, that is right")
    while ordering(person).step is Step.COLUMNS:
        begun = next(b.label for b in person.buttons() if b.label.startswith(("Say", "These")))
        heading = re.search("“(.*)”", begun)
        if heading is None:
            person.choose(begun)
        else:
            person.choose(begun, COLUMNS[heading[1]])
    person.choose(*(what or TWO_LAYERS))


def cause(person: Person) -> tuple[int, str, str]:
    """What is asked: row, column, cause."""
    fault = ordering(person).doubts[0]
    return fault.line, fault.key, fault.problem.id.rpartition(".")[2]


def answer(person: Person, said: str) -> None:
    """Answer what is asked: a text by its button or its keys."""
    key = ordering(person).doubts[0].key
    text = said.strip('"')
    labels = {button.label for button in person.buttons()}
    if said == "leave-out":
        out = {"Leave this row out", "Yes, the total: leave it out"}
        person.choose(next(iter(out & labels)))
    elif said == "keep":
        person.choose(next(b for b in labels if b.startswith(("Right", "Yes"))))
    elif text in labels:
        person.choose(text)
    else:
        person.choose("Enter it" if "Enter it" in labels else "Something else")
        person.choose(text) if key == "size" else person.choose(*text, "Take this")


def doubts(person: Person, answers: Answered) -> Iterator[tuple[int, str, str]]:
    """Answer doubt after doubt, and yield each once it is answered."""
    while ordering(person).step is Step.DOUBT:
        asked = cause(person)
        shown = person.texts()
        assert asked[0] == 0 or f"Row {asked[0]}" in shown
        answer(person, answers[asked])
        yield asked


@pytest.mark.parametrize(
    ("file", "answers", "lines"),
    [
        ("divers.csv", CSV_ANSWERS, CSV_LINES),
        ("swim.xlsx", BOOK_ANSWERS, BOOK_LINES),
        ("mail.txt", PASTE_ANSWERS, PASTE_LINES),
    ],
)
def test_a_customers_file_becomes_a_proved_job_by_touch(
    bench: Bench,
    shop: Path,
    tmp_path: Path,
    file: str,
    answers: Answered,
    lines: list[tuple[str, str, str]],
) -> None:
    person = at(bench, shop, tmp_path)
    to_doubts(person, file)
    asked = list(doubts(person, answers))
    needless = {("", "sheets")} | {("", each[2]) for each in answers if ":" in each[2]}
    wanted = {each for each in answers if answers[each] and (each[1], each[2]) not in needless}
    assert set(asked) >= wanted  # every doubt is asked, none twice
    assert len(asked) == len(set(asked))
    drawn = [each for each in walk(person.station) if isinstance(each, ProofDrawing)]
    assert len(drawn) == 1
    for _, name, number in lines:
        assert f"{number} · {name}" in person.texts()
    person.choose("All right: make the job")
    assert "among the jobs" in person.texts()
    folder = next(f for f in list_jobs(tmp_path / "jobs") if f.name != "raft-polo")
    catalog = read_catalog(tmp_path / "recipes")[0]
    job, faults = read_job(folder, catalog)
    assert faults == ()
    assert job is not None
    assert placement_faults(job, catalog, read_face()) == ()
    assert [(e.size, e.name, e.number) for e in job.roster] == lines
    came = (shop / "inbox" / file).read_bytes()
    assert (folder / file).read_bytes() == came == (tmp_path / "inbox" / file).read_bytes()
    (taken,) = (e for e in person.events() if isinstance(e, OrderTaken))
    assert taken.garments == len(lines)
    assert len(taken.answers) >= len(asked)
    for _, name, _ in lines:
        assert name not in repr(taken)
    person.choose("New order")
    files = {key.label: key.line for key in choices(person)}
    assert files.pop(file).startswith("already a job since 20")
    assert set(files.values()) == {"in the inbox"}  # the others are none yet
    person.choose("back", folder.name)  # and nothing is asked again up to its first countdown
    assert "question" not in person.texts()
    person.close()


def test_a_station_that_stops_at_any_step_has_no_half_job_and_no_lost_answer(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """The program ends after each answer without a word, and is started again."""
    person = at(bench, shop, tmp_path)
    to_doubts(person, "divers.csv")
    seen = []
    for number, asked in enumerate(doubts(person, CSV_ANSWERS)):
        seen.append(asked)
        assert [each.name for each in list_jobs(tmp_path / "jobs")] == ["raft-polo"]
        person.restart(f"boot {number}")
        person.choose("New order", "divers")
    assert len(seen) == len(set(seen)) == 8  # nothing that was answered was asked again
    person.restart("last boot")
    person.choose("New order", "divers", "All right: make the job")
    assert {each.name for each in list_jobs(tmp_path / "jobs")} == {"divers", "raft-polo"}
    person.choose("New order")
    assert "begun" not in person.texts()
    person.close()


def test_a_youth_size_among_bare_ones_is_one_question_for_all_of_them(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """Five rows, one of them a youth's: the others are asked about once, or row by row."""
    person = at(bench, shop, tmp_path)
    rows = ("2;VALDEZ;S", "3;MIREL;M", "5;ARDEN;L", "7;QUOIN;YM", "8;TAMSEN;M")
    text = "\n".join(("number;name;size", *rows)) + "\n"
    (tmp_path / "inbox" / "late-youth.csv").write_text(text, "utf-8")
    to_doubts(person, "late-youth.csv")
    assert "“S, M, L”" in person.texts()
    assert "4 rows do not say youth or adult" in person.texts()
    person.choose("All youth: YS, YM, YL")
    answers = ordering(person).draft.answers()  # type: ignore[union-attr]  # it was begun
    assert [each.text for each in answers.values() if each.text] == ["YS", "YM", "YL", "YM"]
    assert ordering(person).step is not Step.DOUBT
    person.choose("back", "All adult: AS, AM, AL")  # one touch back for what one touch answered
    answers = ordering(person).draft.answers()  # type: ignore[union-attr]
    assert [each.text for each in answers.values() if each.text] == ["AS", "AM", "AL", "AM"]
    person.choose("back", "Row by row", "YS")
    assert [cause(person), len(ordering(person).doubts)] == [(3, "size", "bare_size"), 3]
    person.close()


def test_letters_that_the_file_leaves_open_are_chosen_by_the_names_they_make(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """Before its columns: the names there are others then. Code page as Python's codec."""
    person = at(bench, shop, tmp_path)
    text = "Size,Name,Number\nAL,DVOŘÁK,7\nAM,NĚMEC,8\nAM,KOVA,9\n"
    (tmp_path / "inbox" / "list.csv").write_bytes(text.encode("cp1250"))
    person.choose("New order", "list.csv")
    assert {"DVOØÁK · NÌMEC", "DVOŘÁK · NĚMEC"} <= {each.label for each in choices(person)}
    person.choose("DVOŘÁK · NĚMEC")
    assert ordering(person).step is Step.COLUMNS
    assert "DVOŘÁK" in line_of(person, "Name")
    person.close()


def test_what_is_the_same_in_many_rows_takes_one_touch_and_a_wide_number_names_its_garment(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "AL,KOVA,7.0\nAM,OKORO,8.0\nAM,FENN,9.0\nAL,BRAN,888888\n"
    (tmp_path / "inbox" / "floats.csv").write_text(f"Size,Name,Number\n{rows}", "utf-8")
    to_doubts(person, "floats.csv")
    assert "Rows 2, 3, 4" in person.texts()
    person.choose("All of them: 7, 8, 9")
    assert cause(person) == (5, "number", "many_digits")  # its width is not asked beside it
    person.choose("Right as it is: 888888")
    assert cause(person) == (0, "recipe", "too_wide")
    assert "AL, BRAN, 888888" in person.texts()
    person.close()


def test_back_takes_the_last_answer_back_and_later_keeps_the_order(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    to_doubts(person, "mail.txt")
    first = cause(person)
    person.choose("Yes, that is right")
    assert cause(person) != first
    person.choose("back")
    assert cause(person) == first
    person.choose("back", "back", "back", "back")  # colours, press, fabric, recipe
    assert ordering(person).step is Step.RECIPE
    person.choose("Name and number in two layers", "New fabric", "back")
    assert "Which fabric?" in person.texts()  # as before the PIN was asked for
    person.choose("New fabric", *PIN, "Enter", "back")
    assert ordering(person).step is Step.FABRIC
    person.choose("back", "back", "later", "New order")
    assert "begun" in person.texts()
    person.choose("mail", "mail", "space", *"TEAM", "Take this")
    assert "mail TEAM" in person.texts()
    person.choose("Nr.", "line")  # the headings were known; one is meant otherwise
    assert "line: 1, 2, 3, 4" in person.texts()
    person.choose("mail TEAM", "Throw this order away", "Throw it away")
    assert "begun" not in person.texts()
    assert list((tmp_path / "jobs").glob(".*")) == []
    assert (tmp_path / "inbox" / "mail.txt").exists()
    person.close()


def test_what_no_answer_helps_is_told_by_its_row_and_sends_to_the_columns(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    for left in (tmp_path / "inbox").iterdir():
        left.unlink()
    (tmp_path / "inbox" / "quote.csv").write_text('name,number,size\nA,7,AM\n"B,8,AL\n', "utf-8")
    (tmp_path / "inbox" / "count.csv").write_text("size,quantity\nAM,1\n", "utf-8")
    person.choose("New order", "quote.csv")
    assert "Row 3: a quotation mark stands alone" in person.texts()
    person.choose("later")
    to_doubts(person, "count.csv")
    assert (
        "No column is the number. Go back to the columns, touch the one that is" in person.texts()
    )
    assert "job.yaml" not in person.texts()
    person.close()


def test_a_stick_is_seen_where_the_desktop_mounts_it_and_never_written_to(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path / "shop")
    shutil.rmtree(tmp_path / "shop" / "inbox")
    media = tmp_path / "media"
    stick = media / "operator" / "BLUE STICK"
    person.choose("New order")
    assert "No file is here yet" in person.texts()
    write_all(stick)
    (stick / ".hidden.csv").write_text("a", "utf-8")
    (stick / "photo.jpg").write_bytes(b"x")
    ordering(person).sticks = (media, tmp_path / "none")
    before = {p.name: (p.stat().st_mtime_ns, p.read_bytes()) for p in stick.iterdir()}
    person.choose("Look again")
    assert "on the stick BLUE STICK" in person.texts()
    assert "hidden" not in person.texts()
    assert "photo" not in person.texts()
    person.choose("divers.csv", "later")
    shutil.rmtree(media)  # pulled out: the order has its own copy
    person.choose("New order", "divers", "Say what", "number")
    assert before == before | {}
    assert "number: 7, 10, 7, 12" in person.texts()
    person.close()


class Slow(Executor):
    """Does nothing before it is told to: a reading that takes its time."""

    def __init__(self) -> None:
        self.waiting: list[tuple[Future[object], object]] = []

    def submit(self, fn, /, *args, **kwargs):  # type: ignore[no-untyped-def]  # as in Executor
        future: Future[object] = Future()
        self.waiting.append((future, lambda: fn(*args, **kwargs)))
        return future

    def work(self) -> None:
        for future, work in self.waiting:
            future.set_result(work())  # type: ignore[operator]
        self.waiting = []


def test_the_page_is_there_while_a_file_is_read_beside_it(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    to_doubts(person, "mail.txt")
    slow = person.station.shell.estimates._executor = Slow()
    answer(person, "keep")  # the title
    asked = cause(person)
    assert asked == (6, "name", "marks")  # the next one is there before the file was read again
    answer(person, PASTE_ANSWERS[asked])
    assert cause(person)[0] == 9
    slow.work()
    bench.frames(3)
    assert cause(person)[0] == 9
    for _ in range(3):  # the last one leaves its row out
        answer(person, PASTE_ANSWERS[cause(person)])
    assert "Reading" in person.texts()
    person.choose("later")  # nobody has to wait
    assert "New order" in person.texts()
    slow.work()
    bench.frames(3)
    assert not person.station.shell.has_news  # what nobody waits for any more is put away
    person.close()


def test_an_order_that_no_setting_serves_says_why_and_what_would_do_by_titles(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    shutil.copytree(shop, tmp_path, dirs_exist_ok=True)
    fabrics = tmp_path / "recipes" / "fabrics.yaml"
    text = fabrics.read_text("utf-8")
    cool = re.sub(r"\b331 F", "200 F", text)  # the hottest that this cloth bears
    assert cool != text
    fabrics.write_text(cool, "utf-8")
    person = Person(bench, tmp_path)
    person.first_start()
    to_doubts(person, "divers.csv")
    assert len(list(doubts(person, CSV_ANSWERS))) > 1
    told = " ".join(person.texts().split())
    assert "This order cannot be made a job" in told
    assert re.search(
        r"back: these limits .*: name, layer 1: \d+ °F at least; the fabric: 200", told
    )
    assert "Use another fabric: Cotton jersey; Brushed cotton sweat, winter jackets" in told
    assert "All right: make the job" not in begins(person)
    person.choose("back")  # to the last doubt: an answer may be the mend
    assert ordering(person).step is Step.DOUBT
    person.close()
    assert not (tmp_path / "jobs" / "divers").exists()


def test_a_fabric_and_a_press_that_were_just_entered_are_said_of_the_order(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    for kind in ("fabric", "press"):
        keep(tmp_path / "recipes", filled(kind, *SAID[kind], Degrees.C))  # all but written
    to_doubts(person, "divers.csv", "Name and number in two layers")
    person.choose("New fabric", *PIN, "Enter", "Net knit", "Write it into the file")
    assert ordering(person).step is Step.PRESS
    person.choose("New press", *PIN, "Enter", "dipper", "Write it into the file")
    assert ordering(person).step is Step.COLOURS
    assert ordering(person).draft is not None
    said = ordering(person).known
    assert said is not None
    assert (said.order.fabric, said.order.press) == ("net-knit", "dipper")
    person.close()


def test_an_order_takes_a_film_that_was_just_entered_in_a_recipe_of_its_own(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    recipes = tmp_path / "recipes"
    keep(recipes, filled("material", "Skerry", FILM, Degrees.C))  # all but written
    before = {path.name: path.read_bytes() for path in recipes.glob("*.yaml")}
    person.choose("New film, fabric or press", *PIN, "Enter")
    assert {"New material", "New fabric", "New press", "Skerry"} <= begins(person)
    person.choose("back")  # to the jobs, from where it came
    to_doubts(person, "divers.csv", "Cool film")
    assert re.fullmatch(r"up to \d+ °F", line_of(person, "Piqué"))
    assert re.fullmatch(r"up to \d+ °F · dye moves easily", line_of(person, "Polyester printed"))
    person.choose("Piqué")
    assert re.fullmatch(r"\d+ in × \d+ in, set to \d+ °F", line_of(person, "heron"))
    person.choose("back", "back")  # press, fabric: to the recipes
    assert re.fullmatch(r"\d+ to \d+ °F · orange", line_of(person, "Cool film"))
    person.choose("Cool film", "Piqué", "heron")
    assert {"name: Cool film", "number: Cool film"} <= begins(person)
    person.choose("New material", *PIN, "Enter", "Skerry", "Write it into the file")
    assert ordering(person).step is Step.COLOURS
    person.choose("number: Cool film")
    offered = [choice.label for choice in choices(person)]
    assert offered[0] == "Skerry"
    assert any(each.startswith("Cool film") for each in offered)
    assert not any(each.startswith("Plush") for each in offered)  # too hot for this cloth
    person.choose("back", "Use Skerry for all")
    assert {"name: Skerry", "number: Skerry"} <= begins(person)
    person.choose("number: Skerry", "Cool film")
    person.restart("a later boot")
    person.choose("New order", "divers")
    assert {"name: Skerry", "number: Cool film"} <= begins(person)  # nothing is said twice
    person.choose("number: Cool film", "Skerry", "Film and colours are right")
    assert len(list(doubts(person, CSV_ANSWERS))) > 1
    assert not (recipes / "cool-pair-skerry.yaml").exists()  # it comes with the job
    person.choose("All right: make the job")
    person.close()

    catalog, faults = read_catalog(recipes)
    assert faults == ()
    job, _ = read_job(tmp_path / "jobs" / "divers", catalog)
    assert job is not None
    assert job.recipe == "cool-pair-skerry"
    made = catalog.recipes[job.recipe]
    assert {x.material for p in made.panels for e in p.elements for x in e.layers} == {"skerry"}
    assert made.title.startswith("Skerry")
    now = {path.name: path.read_bytes() for path in recipes.glob("*.yaml")}
    assert {name for name in before if now[name] != before[name]} == {"materials.yaml"}
    read = [event for event in person.events() if isinstance(event, RecipesRead)]
    assert any("cool-pair-skerry" in repr(change) for event in read for change in event.changes)
    (taken,) = (e for e in person.events() if isinstance(e, OrderTaken))
    assert not any(name.startswith("film") for name, _ in taken.answers)


def choices(person: Person) -> tuple[Button, ...]:
    """What the page offers, in its order."""
    sheet = person.station.sheet
    assert sheet is not None
    return sheet.sheet.choices


def line_of(person: Person, begun: str) -> str:
    """What stands below a key."""
    return next(key.line for key in choices(person) if key.label.startswith(begun))


def begins(person: Person) -> set[str]:
    """The keys on the page up to a comma: a film's title may go on."""
    return {button.label.partition(",")[0] for button in person.buttons()}


def test_a_colour_that_no_film_of_the_shop_has_yet_is_typed(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """The demo shop has no white; a shop that has, says so with its first order."""
    person = at(bench, shop, tmp_path)
    to_doubts(person, "divers.csv", "Cool film", "Piqué", "heron")
    person.choose("orange")
    assert "white" not in begins(person)
    person.choose("Another colour", "back")  # takes back the page, not the order
    assert ordering(person).step is Step.COLOURS
    person.choose("orange", "Another colour", *"BONE", "space", *"WHITE", "Take this")
    assert "bone white" in begins(person)
    person.choose("Film and colours are right")
    assert ordering(person).draft is not None
    assert ordering(person)._order().colours == {"orange": "bone white"}
    assert len(list(doubts(person, CSV_ANSWERS))) > 1
    person.choose("All right: make the job")
    person.close()
    catalog, _ = read_catalog(tmp_path / "recipes")
    job, faults = read_job(tmp_path / "jobs" / "divers", catalog)
    assert job is not None, faults
    assert job.colours == {"orange": "bone white"}
