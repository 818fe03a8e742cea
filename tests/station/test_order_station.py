"""From a customer's file to a job by touches on the real window: no doubt skipped, nothing lost."""

from __future__ import annotations

import re
import shutil
import sys
from concurrent.futures import Executor, Future
from pathlib import Path

import pytest
from station_driver import PIN, Person
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
from order_person import (
    TWO_LAYERS,
    answer,
    at,
    cause,
    choices,
    doubts,
    key_names,
    line_of,
    ordering,
    orders_shop,
    to_doubts,
)

from kiosk.catalog.base import MOST_BYTES
from kiosk.catalog.read import list_jobs, read_catalog, read_job
from kiosk.catalog.rules import read_face
from kiosk.plan.procedure import placement_faults
from kiosk.run.state.events_shift import OrderTaken
from kiosk.station.desk.jobs.order_reading import OrderStep
from kiosk.station.glass.widgets.lay_drawing import ProofDrawing


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return orders_shop(tmp_path_factory.mktemp("orders"))


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
    # The sheet is asked for first; text above the headings is shown beside the columns.
    needless = {("", each[2]) for each in answers if ":" in each[2]}
    needless |= {("", "sheets"), ("", "title")}
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
    assert set(files.values()) == {"in the inbox"}  # the others are not jobs yet
    person.choose("back", folder.name)  # and nothing is asked again up to its first countdown
    assert "question" not in person.texts()
    person.close()


def test_a_kill_at_any_step_leaves_no_half_job_and_loses_no_answer(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """The program is killed after each answer, and started again."""
    person = at(bench, shop, tmp_path)
    to_doubts(person, "divers.csv")
    seen = []
    for number, asked in enumerate(doubts(person, CSV_ANSWERS)):
        seen.append(asked)
        assert [each.name for each in list_jobs(tmp_path / "jobs")] == ["raft-polo"]
        person.restart(f"boot {number}")
        person.choose("New order", "divers")
    assert len(seen) == len(set(seen)) == 7  # nothing that was answered was asked again
    person.restart("last boot")
    person.choose("New order", "divers", "All right: make the job")
    assert {each.name for each in list_jobs(tmp_path / "jobs")} == {"divers", "raft-polo"}
    person.choose("New order")
    assert "begun" not in person.texts()
    person.close()


def test_bare_sizes_beside_a_youth_size_are_one_question(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """Five rows, one of them a youth's: the others are asked about at once, or row by row."""
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
    assert ordering(person).step is not OrderStep.DOUBT
    person.choose("back", "All adult: AS, AM, AL")  # one touch back for what one touch answered
    answers = ordering(person).draft.answers()  # type: ignore[union-attr]
    assert [each.text for each in answers.values() if each.text] == ["AS", "AM", "AL", "AM"]
    person.choose("back", "Row by row", "YS")
    assert [cause(person), len(ordering(person).doubts)] == [(3, "size", "bare_size"), 3]
    person.close()


def test_an_uncertain_encoding_is_chosen_by_the_names_it_gives(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """Asked before the columns: the names depend on it. Code page: Python's codec."""
    person = at(bench, shop, tmp_path)
    text = "Size,Name,Number\nAL,DVOŘÁK,7\nAM,NĚMEC,8\nAM,KOVA,9\n"
    (tmp_path / "inbox" / "list.csv").write_bytes(text.encode("cp1250"))
    person.choose("New order", "list.csv")
    assert {"DVOØÁK · NÌMEC", "DVOŘÁK · NĚMEC"} <= {each.label for each in choices(person)}
    person.choose("DVOŘÁK · NĚMEC")
    assert ordering(person).step is OrderStep.COLUMNS
    assert "DVOŘÁK" in line_of(person, "Name")
    person.close()


def test_the_same_doubt_in_many_rows_takes_one_touch_and_a_wide_number_names_its_garment(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "AL,KOVA,7.0\nAM,OKORO,8.0\nAM,FENN,9.0\nAL,BRAN,888888\n"
    (tmp_path / "inbox" / "floats.csv").write_text(f"Size,Name,Number\n{rows}", "utf-8")
    to_doubts(person, "floats.csv")
    assert "Rows 2, 3, 4" in person.texts()
    person.choose("All of them: 7, 8, 9")
    assert cause(person) == (5, "number", "many_digits")  # its width is not asked separately
    person.choose("Right as it is: 888888")
    assert cause(person) == (0, "recipe", "too_wide")
    assert "AL, BRAN, 888888" in person.texts()
    person.close()


def test_back_undoes_the_last_answer_and_later_keeps_the_order(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    to_doubts(person, "mail.txt")
    first = cause(person)
    person.choose("D’ALBE")
    assert cause(person) != first
    person.choose("back")
    assert cause(person) == first
    person.choose("back", "back", "back", "back")  # colours, press, fabric, recipe
    assert ordering(person).step is OrderStep.RECIPE
    person.choose("Name and number in two layers", "New fabric", "back")
    assert "Which fabric?" in person.texts()  # as before the PIN was asked for
    person.choose("New fabric", *PIN, "Enter", "back")
    assert ordering(person).step is OrderStep.FABRIC
    person.choose("back", "back", "later", "New order")
    assert "begun" in person.texts()
    person.choose("mail", "mail", "space", *"TEAM", "Enter it")
    assert "mail TEAM" in person.texts()
    person.choose("Nr.", "line")  # the headings were recognised; one means something else
    assert "line: 1, 2, 3, 4" in person.texts()
    person.choose("mail TEAM", "Throw this order away", "Throw it away")
    assert "begun" not in person.texts()
    assert list((tmp_path / "jobs").glob(".*")) == []
    assert (tmp_path / "inbox" / "mail.txt").exists()
    person.close()


def test_a_fault_without_an_answer_names_its_row_and_leads_to_the_columns(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    for left in (tmp_path / "inbox").iterdir():
        left.unlink()
    (tmp_path / "inbox" / "quote.csv").write_text('name,number,size\nA,7,AM\n"B,8,AL\n', "utf-8")
    (tmp_path / "inbox" / "count.csv").write_text("size,quantity\nAM,1\n", "utf-8")
    person.choose("New order", "quote.csv")
    assert "Row 3: there is a lone quotation mark" in person.texts()
    person.choose("later")
    to_doubts(person, "count.csv")
    assert (
        "No column is the number. Go back to the columns, touch the one that is" in person.texts()
    )
    assert "job.yaml" not in person.texts()
    person.close()


def test_a_mounted_stick_is_read_and_never_written_to(
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


def test_a_file_of_another_kind_is_there_and_says_what_to_do(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    """The list said "No file is here yet" beside an old workbook that somebody had just put in."""
    person = at(bench, shop, tmp_path)
    inbox = tmp_path / "inbox"
    shutil.rmtree(inbox)
    inbox.mkdir()
    (inbox / "swim.xls").write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" * 9)
    (inbox / "long.csv").write_bytes(b"x" * (MOST_BYTES + 1))
    person.choose("New order")
    assert "No file is here yet" not in person.texts()
    assert person.texts().count("cannot be read: touch") == 2
    person.choose("swim.xls")
    assert "an order file ends in .csv, .xlsx" in person.texts()
    person.choose("Look again", "long.csv")
    assert "the file is larger than 2 MB" in person.texts()
    person.close()


class Slow(Executor):
    """Does no work until `work` is called, like a slow read."""

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


def test_the_page_is_shown_while_a_file_is_read_in_the_background(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    to_doubts(person, "mail.txt")
    slow = person.station.shell.estimates._executor = Slow()
    asked = cause(person)
    assert asked == (6, "name", "marks")
    answer(person, PASTE_ANSWERS[asked])
    assert cause(person)[0] == 9  # the next one is there before the file was read again
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
    assert not person.station.shell.has_news  # results that nobody waits for are dropped
    person.close()


TWO_TEAMS = (
    "HERONS,,,,TERNS,,\nName,Number,Size,,Name,Number,Size\nTJELD,4,AL,,LOM,4,AM\n"
    "OSK,10,AM,,VIK,7,AS\n,,,,SUND,9,AL\n"
)


def test_of_two_lists_side_by_side_the_touched_one_becomes_the_order(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    (tmp_path / "inbox" / "teams.csv").write_text(TWO_TEAMS, "utf-8")
    person.choose("New order", "teams.csv")
    assert "HERONS (A–C)" in person.texts()
    person.choose("TERNS (E–G)")
    told = " ".join(person.texts().split())
    assert "3 rows below the headings" in told
    assert "name: LOM, VIK, SUND" in told
    person.choose("The columns are right", *TWO_LAYERS, "All right: make the job")
    job, faults = read_job(tmp_path / "jobs" / "teams", read_catalog(tmp_path / "recipes")[0])
    assert faults == ()
    assert job is not None
    assert [(line.name, line.number) for line in job.roster] == [
        ("LOM", "4"), ("VIK", "7"), ("SUND", "9"),
    ]  # fmt: skip
    person.close()


def test_columns_without_headings_are_named_by_touch_and_no_garment_is_lost(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "KOVA,7,AL\nOKORO,3,AM\nFENN,5,AM\n"
    (tmp_path / "inbox" / "bare.csv").write_text(rows, "utf-8")
    person.choose("New order", "bare.csv")
    assert "its first row is a garment already" in " ".join(person.texts().split())
    person.choose("Say what", "name", "Say what", "number", "Say what", "size")
    told = " ".join(person.texts().split())
    assert "name: KOVA, OKORO, FENN" in told
    person.choose("The columns are right", *TWO_LAYERS, "All right: make the job")
    job, faults = read_job(tmp_path / "jobs" / "bare", read_catalog(tmp_path / "recipes")[0])
    assert faults == ()
    assert job is not None
    assert [line.name for line in job.roster] == ["KOVA", "OKORO", "FENN"]
    person.close()


def test_numbers_missing_in_every_row_take_one_touch(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "AL,KOVA,\nAM,OKORO,\nAM,FENN,\nAS,BRAN,\n"
    (tmp_path / "inbox" / "staff.csv").write_text(f"Size,Name,Number\n{rows}", "utf-8")
    to_doubts(person, "staff.csv")
    assert "Rows 2–5" in person.texts()
    assert "“" not in person.texts()  # nothing is written there
    assert not key_names(person) & {"Say what it is", "Something else"}
    person.choose("All are right as they are", "All right: make the job")
    person.close()
    assert (tmp_path / "jobs" / "staff").is_dir()


def test_a_file_without_a_table_is_refused_with_an_explanation(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    (tmp_path / "inbox" / "hello.txt").write_text("1. Mara Tjeld - 4 - L\nBest, M.\nBye", "utf-8")
    person.choose("New order", "hello.txt")
    told = " ".join(person.texts().split())
    assert "This is no table: write each garment in a row, with columns for size, name" in told
    person.choose("Throw this order away", "Throw it away")
    person.close()


def test_an_order_without_a_possible_setting_says_why_and_names_what_would_work(
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
    assert "This order cannot become a job" in told
    assert re.search(
        r"Back: these limits .*: name, layer 1: \d+ °F at least; the fabric: 200", told
    )
    assert "Use another fabric: Cotton jersey; Brushed cotton sweat, winter jackets" in told
    assert "All right: make the job" not in key_names(person)
    person.choose("back")  # to the last doubt: an answer may be the fix
    assert ordering(person).step is OrderStep.DOUBT
    person.close()
    assert not (tmp_path / "jobs" / "divers").exists()


def test_a_title_shown_on_the_columns_page_is_not_asked_about_again(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "HERON HILL ROWERS,,\nName,Number,Size\nKOVA,7,AL\n"
    (tmp_path / "inbox" / "titled.csv").write_text(rows, "utf-8")
    person.choose("New order", "titled.csv")
    assert "HERON HILL ROWERS" in person.texts()
    person.choose("The columns are right", *TWO_LAYERS)
    assert ordering(person).step is OrderStep.PROOF
    person.choose("back", "back", "back", "back", "back")
    assert "HERON HILL ROWERS" in person.texts()  # back at the columns, whatever was answered
    person.close()


def test_a_placeholder_in_every_row_is_emptied_by_one_touch(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "TBD,7,AL\nTBD,8,AM\nTBD,9,AM\n"
    (tmp_path / "inbox" / "later.csv").write_text(f"Name,Number,Size\n{rows}", "utf-8")
    to_doubts(person, "later.csv")
    nothing = next(b.label for b in person.buttons() if b.label.startswith("All of them"))
    assert nothing == "All of them: nothing"
    person.choose(nothing, "All right: make the job")
    job, _ = read_job(tmp_path / "jobs" / "later", read_catalog(tmp_path / "recipes")[0])
    assert job is not None
    assert [(line.name, line.number) for line in job.roster] == [("", "7"), ("", "8"), ("", "9")]
    person.close()


def test_a_quantity_in_words_is_typed_in_figures_and_extra_cells_take_a_yes(
    bench: Bench, shop: Path, tmp_path: Path
) -> None:
    person = at(bench, shop, tmp_path)
    rows = "KOVA,7,AL,two,BOSS\nVIK,3,AM,1,HELP\nOSK,5,AS,1,MEND\n"
    (tmp_path / "inbox" / "count.csv").write_text(f"Name,Number,Size,Qty\n{rows}", "utf-8")
    to_doubts(person, "count.csv")
    assert cause(person) == (2, "", "more_cells")
    assert not key_names(person) & {"Say what it is"}
    person.choose("Yes, that is right", "Something else", "Enter it")
    assert cause(person) == (2, "quantity", "quantity")  # an empty quantity is refused
    person.choose("2", "Enter it", "All right: make the job")
    job, _ = read_job(tmp_path / "jobs" / "count", read_catalog(tmp_path / "recipes")[0])
    assert job is not None
    assert [line.name for line in job.roster] == ["KOVA", "KOVA", "VIK", "OSK"]
    person.close()


def test_remarks_are_settled_row_by_row(bench: Bench, shop: Path, tmp_path: Path) -> None:
    person = at(bench, shop, tmp_path)
    rows = "KOVA,7,AL,needs AXL\nVIK,3,AM,cancelled\nOSK,5,AS,\n"
    (tmp_path / "inbox" / "noted.csv").write_text(f"Name,Number,Size,Notes\n{rows}", "utf-8")
    to_doubts(person, "noted.csv")
    assert cause(person) == (2, "", "remarks")
    person.choose("Row by row")
    assert "“needs AXL”" in person.texts()
    person.choose("AXL")
    assert "“cancelled”" in person.texts()
    person.choose("Leave this row out", "All right: make the job")
    job, faults = read_job(tmp_path / "jobs" / "noted", read_catalog(tmp_path / "recipes")[0])
    assert faults == ()
    assert job is not None
    assert [(line.name, line.size) for line in job.roster] == [("KOVA", "AXL"), ("OSK", "AS")]
    person.close()
