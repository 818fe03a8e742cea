"""A roster row changed after its job began is noticed, whatever the type of file."""

from __future__ import annotations

import os
from pathlib import Path

import openpyxl
import pytest

from kiosk.station.desk.jobs.library import Library
from kiosk.station.desk.jobs.rosters import Rosters

RECIPES = Path(__file__).resolve().parents[1] / "catalog" / "trial-shop"
JOB = "recipe: two-layers\nfabric: plain-cloth\npress: front-press\nroster: {}\n"


def write(file: Path, name: str) -> None:
    rows = [["line", "size", "name", "number"], ["1", "AL", name, "7"]]
    if file.suffix == ".csv":
        file.write_text("\n".join(",".join(row) for row in rows), "utf-8")
        return
    book = openpyxl.Workbook()
    for row in rows:
        book.worksheets[0].append(row)
    book.save(file)


@pytest.mark.parametrize("kind", ["csv", "xlsx", "XLSX"])
def test_a_changed_roster_is_read_again(tmp_path: Path, kind: str) -> None:
    folder = tmp_path / "lanterns"
    folder.mkdir()
    file = folder / f"roster.{kind}"
    (folder / "job.yaml").write_text(JOB.format(file.name), "utf-8")
    write(file, "FENN")
    rosters = Rosters(Library(RECIPES, tmp_path))
    rosters.open(folder)
    before = rosters.digest("1")
    assert before
    write(file, "KOVA")
    os.utime(file, (2e9, 2e9))  # a file system may count in whole seconds
    rosters.refresh()
    assert rosters.name("1") == "KOVA"
    assert rosters.digest("1") != before
