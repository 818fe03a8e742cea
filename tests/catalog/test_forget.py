"""Names are deleted from a closed job's roster; line, size, number and set stay."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from catalog_folders import JOBS, RECIPES

from kiosk.catalog.read import read_catalog, read_job
from kiosk.catalog.roster.forget import CannotForget, forget_names

JOB = "recipe: two-layer-pair\nfabric: deck-knit\npress: heron\nroster: r.csv\n"
ROSTER = 'Nº;Talla;Jugadora;Dorsal;Notes\n1;AM;QUILLON;07\n2;AL;"DE LA, CRUZ";7;mother: VANE\n'
COLUMNS = "columns: {line: Nº, size: Talla, name: Jugadora, number: Dorsal}\n"


def job(place: Path, text: str = JOB + COLUMNS, roster: str = ROSTER) -> Path:
    folder = place / "made-up"
    folder.mkdir()
    (folder / "job.yaml").write_text(text, "utf-8")
    (folder / "r.csv").write_text(roster, "utf-8")
    return folder


def rows(folder: Path, name: str = "r.csv") -> list[list[str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def test_names_and_unknown_columns_are_deleted_and_the_rest_stays(tmp_path: Path) -> None:
    folder = job(tmp_path)
    assert forget_names(folder).count == 2
    assert rows(folder) == [["line", "size", "number"], ["1", "AM", "07"], ["2", "AL", "7"]]
    assert {path.name for path in folder.iterdir()} == {"job.yaml", "r.csv"}
    for path in folder.iterdir():
        assert not {"QUILLON", "CRUZ", "VANE"} & set(path.read_text("utf-8").split())


def test_the_job_still_reads_without_faults_or_questions(tmp_path: Path) -> None:
    folder = job(tmp_path)
    catalog, _ = read_catalog(RECIPES)
    forget_names(folder)
    found, faults = read_job(folder, catalog)
    assert found is not None
    assert [f for f in faults if f.key != "number"] == []
    assert [(line.number, line.name) for line in found.roster] == [("07", ""), ("7", "")]


@pytest.mark.parametrize("name", sorted(path.parent.name for path in JOBS.glob("*/job.yaml")))
def test_every_name_is_deleted_from_the_shipped_jobs(tmp_path: Path, name: str) -> None:
    catalog, _ = read_catalog(RECIPES)
    folder = tmp_path / name
    folder.mkdir()
    for path in (JOBS / name).iterdir():
        (folder / path.name).write_bytes(path.read_bytes())
    before, _ = read_job(folder, catalog)
    assert before is not None
    assert forget_names(folder).count == sum(bool(line.name) for line in before.roster) > 0
    after, _ = read_job(folder, catalog)
    assert after is not None
    assert [(x.line, x.size, x.number, x.set) for x in after.roster] == [
        (x.line, x.size, x.number, x.set) for x in before.roster
    ]
    assert {x.name for x in after.roster} == {""}


def test_a_second_run_deletes_nothing(tmp_path: Path) -> None:
    folder = job(tmp_path)
    forget_names(folder)
    content = (folder / "r.csv").read_bytes()
    assert forget_names(folder).count == 0
    assert (folder / "r.csv").read_bytes() == content


def test_a_kill_between_the_two_files_is_finished_on_the_next_run(tmp_path: Path) -> None:
    folder = job(tmp_path)
    forget_names(folder)
    (folder / "r.csv").write_text(ROSTER, "utf-8")  # as if killed after the mark was written
    assert forget_names(folder).count == 2
    assert rows(folder)[0] == ["line", "size", "number"]


def test_a_job_file_in_braces_is_marked_too(tmp_path: Path) -> None:
    text = "{recipe: two-layers, fabric: plain-cloth, press: front-press, roster: r.csv}\n"
    folder = job(tmp_path, text, "line,size,name,number\n1,AM,QUILLON,7\n")
    assert forget_names(folder).count == 1
    assert "names_deleted: yes}" in (folder / "job.yaml").read_text("utf-8")


def test_names_are_deleted_from_a_workbook_too(tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    folder = job(tmp_path, JOB.replace("r.csv", "r.xlsx"))
    book = openpyxl.Workbook()
    for row in (("line", "size", "name", "number"), ("1", "AM", "QUILLON", "07")):
        book.active.append(row)
    book.save(folder / "r.xlsx")
    (folder / "r.csv").unlink()
    assert forget_names(folder).count == 1
    cells = openpyxl.load_workbook(folder / "r.xlsx").active.values
    assert list(cells) == [("line", "size", "number"), ("1", "AM", "07")]


def test_a_missing_folder_is_reported(tmp_path: Path) -> None:
    with pytest.raises(CannotForget) as caught:
        forget_names(tmp_path / "gone")
    assert caught.value.message.id == "catalog.forget.not_found"


def test_an_unreadable_job_is_reported_and_not_changed(tmp_path: Path) -> None:
    folder = job(tmp_path, roster="\0\0\0")
    with pytest.raises(CannotForget) as caught:
        forget_names(folder)
    assert caught.value.message.id == "catalog.forget.unread"
    assert (folder / "r.csv").read_bytes() == b"\0\0\0"


@pytest.mark.parametrize("key", ["roster", "answers"])
def test_a_loop_of_links_is_reported_and_nothing_is_changed(tmp_path: Path, key: str) -> None:
    text = JOB.replace("r.csv", "ring") if key == "roster" else f"{JOB}answers: ring\n"
    folder = job(tmp_path, text + COLUMNS)
    (folder / "ring").symlink_to(folder / "gnir")
    (folder / "gnir").symlink_to(folder / "ring")
    with pytest.raises(CannotForget) as caught:
        forget_names(folder)
    assert caught.value.message.id == "catalog.forget.unread"
    assert {path.name for path in folder.iterdir()} == {"job.yaml", "r.csv", "ring", "gnir"}
    assert (folder / "job.yaml").read_text("utf-8") == text + COLUMNS
