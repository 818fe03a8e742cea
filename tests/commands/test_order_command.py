"""`kiosk order` turns a customer's file into a job: every doubt asked, no silent change."""

from __future__ import annotations

import os
import re
import shutil
import sys
from contextlib import chdir
from pathlib import Path

import openpyxl
import pytest
from command_line import kiosk_here

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "catalog"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "log"))

from log_damage import no_file_grows_beyond
from order_files import (
    FILES,
    answers_file_of,
    answers_text,
    jobs,
    open_questions,
    order,
    write_orders,
)

from kiosk.catalog.read import list_jobs, read_catalog, read_job
from kiosk.catalog.roster import forget_names


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return write_orders(tmp_path)


@pytest.mark.parametrize("file", FILES)
def test_a_customers_file_becomes_a_job_once_every_question_is_answered(
    shop: Path, file: str
) -> None:
    answers, lines = FILES[file]
    answers_file, expected = shop / "A.yaml", {(row, key, cause) for row, key, cause in answers}
    text, seen = "# nothing yet\n", set()
    before = (shop / "shared" / "inbox" / file).read_bytes()
    for _ in range(6):
        answers_file.write_text(text, "utf-8")
        result = order(shop, file, "--answers", str(answers_file), "--names")
        if result.code == 0:
            break
        assert result.code == 1
        assert 'two quotes, "", for nothing' in result.out.splitlines()[0]
        assert not list((shop / "shared" / "jobs").iterdir())  # nothing is left half done
        text += answers_text(open_questions(result), answers)
    assert result.code == 0, result
    for name in text.splitlines()[1:]:
        row, key, cause, _ = re.sub(r"-\d+", "", name.split(":")[0]).split(".")
        seen.add((int(row), "" if key == "file" else key, cause))
    assert {(row, key, cause.split(":")[0]) for row, key, cause in expected} == seen
    (folder,) = (shop / "shared" / "jobs").iterdir()
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(folder, catalog)
    assert faults == ()  # an answered doubt is not asked again
    assert job is not None
    assert [(line.size, line.name, line.number) for line in job.roster] == lines
    assert (folder / file).read_bytes() == before
    with chdir(shop):
        assert kiosk_here("check", str(folder), "--recipes", "recipes").code == 0
        assert kiosk_here("proof", str(folder)).code == 0


def test_without_names_no_players_name_is_printed(shop: Path) -> None:
    for file, (answers, lines) in FILES.items():
        answers_file = shop / "A.yaml"
        heads = [a for a in answers if a[2].startswith("unknown_column")]
        result = order(shop, file, "--names")
        headings = {n: t for n, t in open_questions(result) if ".unknown_column." in n}
        answers_file.write_text(
            "# heads\n" + answers_text(list(headings.items()), answers), "utf-8"
        )
        result = order(shop, file, "--answers", str(answers_file))
        assert result.code == 1
        assert bool(headings) == bool(heads)
        for _, name, _ in lines:
            assert (
                len(name) == 1 or name not in result.out + result.err
            )  # 李: shown as a letter the face lacks
        assert "O’TARN" not in result.out


def test_answered_headings_are_known_next_time(shop: Path) -> None:
    answers_file = answers_file_of(shop)
    assert order(shop, "divers.csv", "--answers", str(answers_file)).code == 0
    known = (shop / "recipes" / "headings.yaml").read_text("utf-8")
    assert 'number: ["Rückennummer"]' in known
    assert 'unused: ["Bemerkung"]' in known
    (shop / "shared" / "inbox" / "divers.csv").rename(shop / "shared" / "inbox" / "again.csv")
    result = order(shop, "again.csv", "--name", "Once more")
    assert result.code == 1
    assert ".unknown_column." not in result.out
    assert ".bare_size." in result.out


def test_an_existing_job_of_that_name_is_left_unchanged(shop: Path) -> None:
    answers_file = answers_file_of(shop)
    assert order(shop, "divers.csv", "--answers", str(answers_file)).code == 0
    before = (shop / "shared" / "jobs" / "divers" / "answers.yaml").stat().st_mtime_ns
    result = order(shop, "divers.csv", "--answers", str(answers_file))
    assert (result.code, jobs(shop)) == (1, ["divers"])
    assert "divers" in result.err
    assert (shop / "shared" / "jobs" / "divers" / "answers.yaml").stat().st_mtime_ns == before
    assert (
        order(shop, "divers.csv", "--answers", str(answers_file), "--name", "Divers, two").code == 0
    )
    assert jobs(shop) == ["divers", "divers-two"]


def test_only_a_row_changed_later_is_asked_about_again(shop: Path) -> None:
    assert order(shop, "divers.csv", "--answers", str(answers_file_of(shop))).code == 0
    folder = shop / "shared" / "jobs" / "divers"
    text = (folder / "divers.csv").read_bytes().decode("cp1252")
    changed = text.replace("7;BRANDVIK;Medium;", "7;BRANDSTAD;Medium;")
    (folder / "divers.csv").write_bytes(changed.encode("cp1252"))
    _, faults = read_job(folder, read_catalog(shop / "recipes")[0])
    assert {(f.line, f.key) for f in faults} == {(5, "number"), (5, "size")}


def test_deleting_the_names_deletes_the_answers_too(shop: Path) -> None:
    assert order(shop, "divers.csv", "--answers", str(answers_file_of(shop))).code == 0
    folder = shop / "shared" / "jobs" / "divers"
    catalog = read_catalog(shop / "recipes")[0]
    before, _ = read_job(folder, catalog)
    forgotten = forget_names(folder)
    assert (forgotten.count, forgotten.warnings) == (5, ())
    assert sorted(path.name for path in folder.iterdir()) == ["divers.csv", "job.yaml"]
    after, _ = read_job(folder, catalog)
    assert before is not None
    assert after is not None
    assert [(e.size, e.number) for e in after.roster] == [(e.size, e.number) for e in before.roster]
    assert not any(line.name for line in after.roster)


def test_a_file_without_headings_shows_no_name_and_asks_for_each_column(shop: Path) -> None:
    (shop / "shared" / "inbox" / "bare.csv").write_text("7;SMITTE;L\n8;BERG;M\n", "utf-8")
    result = order(shop, "bare.csv")
    assert (result.code, jobs(shop)) == (1, [])
    assert "The file has no headings: its first row is a garment already" in result.out
    assert result.out.count("this column has no heading: which one is it?") == 3
    assert "SMITTE" not in result.out + result.err
    assert '"SMITTE, BERG"' in order(shop, "bare.csv", "--names").out


def test_unknown_headings_are_not_shown_as_they_may_be_a_player(shop: Path) -> None:
    (shop / "shared" / "inbox" / "bare.csv").write_text("Nom;Taille\nSMITTE;L1\n", "utf-8")
    result = order(shop, "bare.csv")
    assert (result.code, jobs(shop)) == (1, [])
    assert "No heading is known" in result.out
    assert result.out.count("which column is this?") == 2
    assert "Nom" not in result.out + result.err
    assert "Nom" in order(shop, "bare.csv", "--names").out


@pytest.mark.parametrize("content", [b"\xff\x00\x81" * 9, b"", b'a;b\n"7;8\n'])
def test_a_file_that_is_no_roster_is_reported_by_name(shop: Path, content: bytes) -> None:
    (shop / "shared" / "inbox" / "odd.csv").write_bytes(content)
    result = order(shop, "odd.csv")
    assert (result.code, result.out, jobs(shop)) == (1, "", [])
    assert result.err.startswith("shared/inbox/odd.csv")


@pytest.mark.parametrize(
    "text",
    ["- a list\n", "a: {b: c}\n", "a: [1]\n", "a: *b\n", "\0", "a: 'x\n", "a: " + "x" * 90 + "\n"],
)
def test_an_invalid_answers_file_is_reported_and_makes_no_job(shop: Path, text: str) -> None:
    (shop / "A.yaml").write_text(text, "utf-8")
    result = order(shop, "mail.txt", "--answers", str(shop / "A.yaml"))
    assert (result.code, jobs(shop)) == (1, [])
    assert "A.yaml" in result.err


def test_a_column_being_asked_about_is_not_called_missing(shop: Path) -> None:
    """The customer's file has no job.yaml; a column that an answer can settle is no fault."""
    inbox = shop / "shared" / "inbox"
    (inbox / "grande.csv").write_bytes("Name;Nr.;Größe\nMÜLLER;7;AM\n".encode("latin-1"))
    result = order(shop, "grande.csv")
    assert "which column is this?" in result.out
    assert result.err == ""
    (inbox / "count.csv").write_text("name,number\nADA,7\n", "utf-8")
    result = order(shop, "count.csv")
    assert result.err.endswith(
        'count.csv:1: size: no column for this: give one the heading "size"\n'
    )


@pytest.mark.parametrize("chosen", ["name", "leave-out"])
def test_two_possible_name_headings_are_asked_about_and_known_next_time(
    shop: Path, chosen: str
) -> None:
    """The customer's file is unchanged: which of the two is meant is a choice, not a fault."""
    inbox = shop / "shared" / "inbox"
    inbox.joinpath("dos.csv").write_text(
        "Nombre;Apellido;Talla;Dorsal\nMIRA;BELTRO;AM;7\n", "utf-8"
    )
    result = order(shop, "dos.csv", "--names")
    first, second = (name for name, _ in open_questions(result))
    assert (result.code, result.err, jobs(shop)) == (1, "", [])
    answers_file = shop / "A.yaml"
    named = f"{second}: name\n" if chosen == "name" else ""
    answers_file.write_text(f"{first}: leave-out\n{named}", "utf-8")
    assert order(shop, "dos.csv", "--answers", str(answers_file)).code == 0
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(shop / "shared" / "jobs" / "dos", catalog)
    assert job is not None
    assert ([line.name for line in job.roster], faults) == (["BELTRO"], ())
    assert order(shop, "dos.csv", "--name", "Again").code == 0
    inbox.joinpath("uno.csv").write_text("Nombre;Talla;Dorsal\nMIRA;AM;7\n", "utf-8")
    assert order(shop, "uno.csv").code == 0  # alone it is the name, even if left out before


@pytest.mark.parametrize(
    ("hidden", "answer", "made"),
    [
        ("rows", "leave-out", ["BELTRO", "CORVE"]),
        ("rows", "keep", ["ADVIN", "BELTRO", "CORVE"]),
        ("column", "leave-out", ["ADVIN", "BELTRO", "CORVE"]),
        ("column", "keep", ["ADVIN", "BELTRO", "CORVE"]),
    ],
)
def test_hidden_rows_and_columns_are_asked_about_once(
    shop: Path, hidden: str, answer: str, made: list[str]
) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (["size", "name", "number", "shelf"], ["AM", "ADVIN", 12, "x"],
                ["AL", "BELTRO", 13, "y"], ["AL", "CORVE", 14, "z"]):  # fmt: skip
        sheet.append(row)
    if hidden == "rows":
        sheet.row_dimensions[2].hidden = True
        sheet.delete_cols(4)
    else:
        sheet.column_dimensions["D"].hidden = True
    book.save(shop / "shared" / "inbox" / "hid.xlsx")
    answers_file, text = shop / "A.yaml", "# nothing yet\n"
    for _ in range(3):
        answers_file.write_text(text, "utf-8")
        result = order(shop, "hid.xlsx", "--answers", str(answers_file), "--names")
        text += "".join(
            f"{name}: {'leave-out' if '.unknown_column.' in name else answer}\n"
            for name, _ in open_questions(result)
        )
    assert jobs(shop) == ["hid"], result
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(shop / "shared" / "jobs" / "hid", catalog)
    assert job is not None
    assert ([line.name for line in job.roster], faults) == (made, ())


def test_a_row_hidden_later_is_asked_about_after_others_were_left_out(shop: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in (["size", "name", "number"], ["AM", "ADVIN", 12], ["AL", "BELTRO", 13],
                ["AL", "CORVE", 14]):  # fmt: skip
        sheet.append(row)
    sheet.row_dimensions[2].hidden = True
    book.save(file := shop / "shared" / "inbox" / "hid.xlsx")
    ((name, _),) = open_questions(order(shop, "hid.xlsx"))
    answers_file = shop / "A.yaml"
    answers_file.write_text(f"{name}: leave-out\n", "utf-8")
    sheet.row_dimensions[3].hidden = True
    book.save(file)
    result = order(shop, "hid.xlsx", "--answers", str(answers_file))
    assert (result.code, jobs(shop)) == (1, [])
    assert "2, 3" in result.out


def test_a_name_changed_by_two_answers_is_not_asked_about_again(shop: Path) -> None:
    """The sheet has TRUE; the answer True raises a question about case, answered with TRUE."""
    text = "size,name,number\nAM,TRUE,12\nAL,BELTRO,13\nAL,CORVE,14\n"
    (shop / "shared" / "inbox" / "true.csv").write_text(text, "utf-8")
    answers_file, answers = shop / "A.yaml", iter(('"True"', '"TRUE"'))
    result, text = order(shop, "true.csv"), ""
    while result.code == 1:
        ((name, _),) = open_questions(result)
        text += f"{name}: {next(answers)}\n"
        answers_file.write_text(text, "utf-8")
        result = order(shop, "true.csv", "--answers", str(answers_file))
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(shop / "shared" / "jobs" / "true", catalog)
    assert job is not None
    assert (job.roster[0].name, faults) == ("TRUE", ())


def test_an_unknown_recipe_or_missing_press_is_reported_with_the_choices(shop: Path) -> None:
    with chdir(shop):
        result = kiosk_here("order", "shared/inbox/mail.txt", "--recipe", "on", "--fabric", "knit")
    assert result.code == 1
    assert 'did you mean "one"' in result.err
    assert (
        "mail.txt: choose one with --press; allowed: press-one\n" in result.err
    )  # the option was not given
    assert (
        "mail.txt: recipe: nothing by this name" in result.err
    )  # without a line of the customer's file
    assert jobs(shop) == []


STEPS = frozenset({"os.rename", "os.mkdir", "os.remove", "os.rmdir", "shutil.rmtree"})


def killed_at(step: int, shop: Path, answers_file: Path) -> bool:
    """Order in a process killed at its `step`th step on disk; return whether it got that far."""
    child = os.fork()
    if child == 0:
        left = step

        def hook(event: str, args: tuple[object, ...]) -> None:
            nonlocal left
            writes = event == "open" and "jobs" in str(args[0]) and args[1] != "r"
            if writes or event in STEPS:
                left -= 1
                if left == 0:
                    os._exit(9)

        sys.addaudithook(hook)
        os._exit(order(shop, "divers.csv", "--answers", str(answers_file)).code)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) in {0, 9}
    return os.waitstatus_to_exitcode(status) == 9


def test_a_kill_at_any_step_leaves_no_half_job(shop: Path) -> None:
    answers_file, catalog = answers_file_of(shop), read_catalog(shop / "recipes")[0]
    folder, step = shop / "shared" / "jobs", 1
    while killed_at(step, shop, answers_file):
        for each in list_jobs(folder):
            assert read_job(each, catalog)[1] == ()  # whole, or missing entirely
            shutil.rmtree(each)
        step += 1
    assert step > 10
    assert [path.name for path in list_jobs(folder)] == ["divers"]
    os.utime(next(folder.glob(".*")), (0, 0))
    shutil.rmtree(folder / "divers")
    assert order(shop, "divers.csv", "--answers", str(answers_file)).code == 0
    assert step - 1 > len(list(folder.glob(".*"))) > 0  # a leftover older than an hour was removed


def test_another_film_for_an_element_makes_a_recipe_of_its_own(shop: Path) -> None:
    """The two sheets differ only by their key."""
    sheets = shop / "recipes" / "materials.yaml"
    film = sheets.read_text("utf-8")
    sheets.write_text(film + film.replace("film:", "other-film:", 1), "utf-8")
    before = (shop / "recipes" / "one.yaml").read_bytes()
    wrong = order(shop, "mail.txt", "--film", "sleeve=other-film")
    assert wrong.code != 0
    assert "sleeve=other-film" in wrong.err
    unknown = order(shop, "mail.txt", "--film", "name=no-film")
    assert "(film, other-film)" in unknown.err.replace(" and ", ", ")
    answers_file = answers_file_of(shop, "mail.txt")
    result = order(shop, "mail.txt", "--film", "name=other-film", "--answers", str(answers_file))
    assert result.code == 0, result
    catalog, faults = read_catalog(shop / "recipes")
    assert faults == ()
    job, _ = read_job(shop / "shared" / "jobs" / "mail", catalog)
    assert job is not None
    assert job.recipe == "one-other-film"
    used = {
        element.name: {layer.material for layer in element.layers}
        for panel in catalog.recipes[job.recipe].panels
        for element in panel.elements
    }
    assert used.pop("name") == {"other-film"}
    assert set().union(*used.values()) == {"film"}
    assert (shop / "recipes" / "one.yaml").read_bytes() == before


def test_a_full_disk_leaves_no_names_behind(shop: Path) -> None:
    (shop / "shared" / "inbox" / "short.csv").write_text("size,number\nAL,31\n")
    (shop / "shared" / "jobs").mkdir()
    before = sorted(shop.rglob("*"))
    for room in (1, 30):
        with no_file_grows_beyond(room):
            result = order(shop, "short.csv", "--name", "A name that is longer than the whole file")
        assert result.code == 1
        assert "cannot be written" in result.err
        assert sorted(shop.rglob("*")) == before
