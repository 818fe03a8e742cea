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
from order_files import FILES, answered, asked_ids, jobs, order, settled, write_orders

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
    given, expected = shop / "A.yaml", {(row, key, cause) for row, key, cause in answers}
    text, seen = "# nothing yet\n", set()
    before = (shop / "shared" / "inbox" / file).read_bytes()
    for _ in range(6):
        given.write_text(text, "utf-8")
        said = order(shop, file, "--answers", str(given), "--names")
        if said.code == 0:
            break
        assert said.code == 1
        assert 'two quotes, "", for nothing' in said.out.splitlines()[0]
        assert not list((shop / "shared" / "jobs").iterdir())  # nothing is left half done
        text += answered(asked_ids(said), answers)
    assert said.code == 0, said
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
        given = shop / "A.yaml"
        heads = [a for a in answers if a[2].startswith("unknown_column")]
        said = order(shop, file, "--names")
        told = {n: t for n, t in asked_ids(said) if ".unknown_column." in n}
        given.write_text("# heads\n" + answered(list(told.items()), answers), "utf-8")
        said = order(shop, file, "--answers", str(given))
        assert said.code == 1
        assert bool(told) == bool(heads)
        for _, name, _ in lines:
            assert (
                len(name) == 1 or name not in said.out + said.err
            )  # 李: shown as a letter the face lacks
        assert "O’TARN" not in said.out


def test_answered_headings_are_known_next_time(shop: Path) -> None:
    settled_by = settled(shop)
    assert order(shop, "divers.csv", "--answers", str(settled_by)).code == 0
    known = (shop / "recipes" / "headings.yaml").read_text("utf-8")
    assert 'number: ["Rückennummer"]' in known
    assert 'unused: ["Bemerkung"]' in known
    (shop / "shared" / "inbox" / "divers.csv").rename(shop / "shared" / "inbox" / "again.csv")
    said = order(shop, "again.csv", "--name", "Once more")
    assert said.code == 1
    assert ".unknown_column." not in said.out
    assert ".bare_size." in said.out


def test_an_existing_job_of_that_name_is_left_unchanged(shop: Path) -> None:
    given = settled(shop)
    assert order(shop, "divers.csv", "--answers", str(given)).code == 0
    before = (shop / "shared" / "jobs" / "divers" / "answers.yaml").stat().st_mtime_ns
    said = order(shop, "divers.csv", "--answers", str(given))
    assert (said.code, jobs(shop)) == (1, ["divers"])
    assert "divers" in said.err
    assert (shop / "shared" / "jobs" / "divers" / "answers.yaml").stat().st_mtime_ns == before
    assert order(shop, "divers.csv", "--answers", str(given), "--name", "Divers, two").code == 0
    assert jobs(shop) == ["divers", "divers-two"]


def test_only_a_row_changed_later_is_asked_about_again(shop: Path) -> None:
    assert order(shop, "divers.csv", "--answers", str(settled(shop))).code == 0
    folder = shop / "shared" / "jobs" / "divers"
    text = (folder / "divers.csv").read_bytes().decode("cp1252")
    changed = text.replace("7;BRANDVIK;Medium;", "7;BRANDSTAD;Medium;")
    (folder / "divers.csv").write_bytes(changed.encode("cp1252"))
    _, faults = read_job(folder, read_catalog(shop / "recipes")[0])
    assert {(f.line, f.key) for f in faults} == {(5, "number"), (5, "size")}


def test_deleting_the_names_deletes_the_answers_too(shop: Path) -> None:
    assert order(shop, "divers.csv", "--answers", str(settled(shop))).code == 0
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
    said = order(shop, "bare.csv")
    assert (said.code, jobs(shop)) == (1, [])
    assert "The file has no headings: its first row is a garment already" in said.out
    assert said.out.count("this column has no heading: which one is it?") == 3
    assert "SMITTE" not in said.out + said.err
    assert '"SMITTE, BERG"' in order(shop, "bare.csv", "--names").out


def test_unknown_headings_are_not_shown_as_they_may_be_a_player(shop: Path) -> None:
    (shop / "shared" / "inbox" / "bare.csv").write_text("Nom;Taille\nSMITTE;L1\n", "utf-8")
    said = order(shop, "bare.csv")
    assert (said.code, jobs(shop)) == (1, [])
    assert "No heading is known" in said.out
    assert said.out.count("which column is this?") == 2
    assert "Nom" not in said.out + said.err
    assert "Nom" in order(shop, "bare.csv", "--names").out


@pytest.mark.parametrize("content", [b"\xff\x00\x81" * 9, b"", b'a;b\n"7;8\n'])
def test_a_file_that_is_no_roster_is_reported_by_name(shop: Path, content: bytes) -> None:
    (shop / "shared" / "inbox" / "odd.csv").write_bytes(content)
    said = order(shop, "odd.csv")
    assert (said.code, said.out, jobs(shop)) == (1, "", [])
    assert said.err.startswith("shared/inbox/odd.csv")


@pytest.mark.parametrize(
    "text",
    ["- a list\n", "a: {b: c}\n", "a: [1]\n", "a: *b\n", "\0", "a: 'x\n", "a: " + "x" * 90 + "\n"],
)
def test_an_invalid_answers_file_is_reported_and_makes_no_job(shop: Path, text: str) -> None:
    (shop / "A.yaml").write_text(text, "utf-8")
    said = order(shop, "mail.txt", "--answers", str(shop / "A.yaml"))
    assert (said.code, jobs(shop)) == (1, [])
    assert "A.yaml" in said.err


def test_a_column_being_asked_about_is_not_called_missing(shop: Path) -> None:
    """The customer's file has no job.yaml; a column that an answer can settle is no fault."""
    inbox = shop / "shared" / "inbox"
    (inbox / "grande.csv").write_bytes("Name;Nr.;Größe\nMÜLLER;7;AM\n".encode("latin-1"))
    said = order(shop, "grande.csv")
    assert "which column is this?" in said.out
    assert said.err == ""
    (inbox / "count.csv").write_text("name,number\nADA,7\n", "utf-8")
    said = order(shop, "count.csv")
    assert said.err.endswith('count.csv:1: size: no column for this: give one the heading "size"\n')


@pytest.mark.parametrize("chosen", ["name", "leave-out"])
def test_two_possible_name_headings_are_asked_about_and_known_next_time(
    shop: Path, chosen: str
) -> None:
    """The customer's file is unchanged: which of the two is meant is a choice, not a fault."""
    inbox = shop / "shared" / "inbox"
    inbox.joinpath("dos.csv").write_text(
        "Nombre;Apellido;Talla;Dorsal\nMIRA;BELTRO;AM;7\n", "utf-8"
    )
    said = order(shop, "dos.csv", "--names")
    first, second = (name for name, _ in asked_ids(said))
    assert (said.code, said.err, jobs(shop)) == (1, "", [])
    given = shop / "A.yaml"
    named = f"{second}: name\n" if chosen == "name" else ""
    given.write_text(f"{first}: leave-out\n{named}", "utf-8")
    assert order(shop, "dos.csv", "--answers", str(given)).code == 0
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
    given, text = shop / "A.yaml", "# nothing yet\n"
    for _ in range(3):
        given.write_text(text, "utf-8")
        said = order(shop, "hid.xlsx", "--answers", str(given), "--names")
        text += "".join(
            f"{name}: {'leave-out' if '.unknown_column.' in name else answer}\n"
            for name, _ in asked_ids(said)
        )
    assert jobs(shop) == ["hid"], said
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
    ((name, _),) = asked_ids(order(shop, "hid.xlsx"))
    given = shop / "A.yaml"
    given.write_text(f"{name}: leave-out\n", "utf-8")
    sheet.row_dimensions[3].hidden = True
    book.save(file)
    said = order(shop, "hid.xlsx", "--answers", str(given))
    assert (said.code, jobs(shop)) == (1, [])
    assert "2, 3" in said.out


def test_a_name_changed_by_two_answers_is_not_asked_about_again(shop: Path) -> None:
    """The sheet has TRUE; the answer True raises a question about case, answered with TRUE."""
    text = "size,name,number\nAM,TRUE,12\nAL,BELTRO,13\nAL,CORVE,14\n"
    (shop / "shared" / "inbox" / "true.csv").write_text(text, "utf-8")
    given, answers = shop / "A.yaml", iter(('"True"', '"TRUE"'))
    said, text = order(shop, "true.csv"), ""
    while said.code == 1:
        ((name, _),) = asked_ids(said)
        text += f"{name}: {next(answers)}\n"
        given.write_text(text, "utf-8")
        said = order(shop, "true.csv", "--answers", str(given))
    catalog, _ = read_catalog(shop / "recipes")
    job, faults = read_job(shop / "shared" / "jobs" / "true", catalog)
    assert job is not None
    assert (job.roster[0].name, faults) == ("TRUE", ())


def test_an_unknown_recipe_or_missing_press_is_reported_with_the_choices(shop: Path) -> None:
    with chdir(shop):
        said = kiosk_here("order", "shared/inbox/mail.txt", "--recipe", "on", "--fabric", "knit")
    assert said.code == 1
    assert 'did you mean "one"' in said.err
    assert (
        "mail.txt: choose one with --press; allowed: press-one\n" in said.err
    )  # the option was not given
    assert (
        "mail.txt: recipe: nothing by this name" in said.err
    )  # without a line of the customer's file
    assert jobs(shop) == []


STEPS = frozenset({"os.rename", "os.mkdir", "os.remove", "os.rmdir", "shutil.rmtree"})


def killed_at(step: int, shop: Path, given: Path) -> bool:
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
        os._exit(order(shop, "divers.csv", "--answers", str(given)).code)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) in {0, 9}
    return os.waitstatus_to_exitcode(status) == 9


def test_a_kill_at_any_step_leaves_no_half_job(shop: Path) -> None:
    given, catalog = settled(shop), read_catalog(shop / "recipes")[0]
    folder, step = shop / "shared" / "jobs", 1
    while killed_at(step, shop, given):
        for each in list_jobs(folder):
            assert read_job(each, catalog)[1] == ()  # whole, or missing entirely
            shutil.rmtree(each)
        step += 1
    assert step > 10
    assert [path.name for path in list_jobs(folder)] == ["divers"]
    os.utime(next(folder.glob(".*")), (0, 0))
    shutil.rmtree(folder / "divers")
    assert order(shop, "divers.csv", "--answers", str(given)).code == 0
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
    given = settled(shop, "mail.txt")
    said = order(shop, "mail.txt", "--film", "name=other-film", "--answers", str(given))
    assert said.code == 0, said
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
            said = order(shop, "short.csv", "--name", "A name that is longer than the whole file")
        assert said.code == 1
        assert "cannot be written" in said.err
        assert sorted(shop.rglob("*")) == before
