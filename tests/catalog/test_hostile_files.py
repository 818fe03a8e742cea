"""Whatever a file holds, reading it returns values and faults and never raises."""

from __future__ import annotations

import os
import shutil
import tempfile
from pathlib import Path

import pytest
from catalog_folders import JOBS, RECIPES, is_one_line, job_with, own_catalog, recipes_with
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.catalog.read import read_catalog, read_job
from kiosk.words import Words, fault_text

FILES = ("materials.yaml", "fabrics.yaml", "shop.yaml", "two-sides.yaml")
SNIPPETS = st.sampled_from(
    [
        "", "\n", " ", "  ", "\t", ":", ": ", "- ", "[", "]", "{", "}", ",", "&a ", "*a", "!!set ",
        "!x ", "'", '"', "|", ">", "?", "<<: ", "---\n", "...\n", "%YAML 9\n", "null", "~", "yes",
        "-0", "1e9", "300 F", "F", "9" * 400, "\0", "\x1b", "\ufeff", "\ufffe", "é", "@", "{x}",
    ]
)  # fmt: skip
EDIT = st.tuples(st.floats(0, 1), st.integers(0, 12), st.one_of(SNIPPETS, st.text(max_size=8)))
WORDS = Words("en")


def edited(text: str, edits: list[tuple[float, int, str]]) -> bytes:
    """Return `text` with some characters replaced by a snippet at each place."""
    for place, removed, snippet in edits:
        at = int(place * len(text))
        text = text[:at] + snippet + text[at + removed :]
    return text.encode("utf-8", "surrogatepass")


@pytest.mark.parametrize("file", FILES)
@settings(max_examples=60)
@given(edits=st.lists(EDIT, min_size=1, max_size=4))
def test_an_edited_file_of_the_catalog_never_raises(
    file: str, edits: list[tuple[float, int, str]]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        recipes = recipes_with(Path(folder), file)
        content = edited((recipes / file).read_text("utf-8"), edits)
        (recipes / file).write_bytes(content)
        _, faults = read_catalog(recipes)
        for fault in faults:
            assert is_one_line(fault_text(fault, WORDS))
            assert 0 <= fault.line <= content.count(b"\n") + content.count(b"\r") + 200


@settings(max_examples=150)
@given(edits=st.lists(EDIT, min_size=1, max_size=4), wide=st.booleans())
def test_an_edited_roster_never_raises(edits: list[tuple[float, int, str]], wide: bool) -> None:
    content = edited((JOBS / "raft-polo" / "roster.csv").read_text("utf-8"), edits)
    if wide:
        content = content.decode("utf-8", "replace").encode("utf-16")
    with tempfile.TemporaryDirectory() as folder:
        job, faults = read_job(job_with(Path(folder), content), own_catalog())
    assert (job is None) == any(not fault.question for fault in faults)
    for fault in faults:
        assert is_one_line(fault_text(fault, WORDS))


@settings(max_examples=100)
@given(content=st.binary(max_size=200))
def test_random_bytes_never_raise(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = job_with(Path(folder), content)
        assert read_job(path, own_catalog())[1]
        (path / "job.yaml").write_bytes(content)
        assert read_job(path, own_catalog())[1]


def test_unchanged_sheets_are_not_read_again(tmp_path: Path) -> None:
    shutil.copytree(RECIPES, tmp_path / "one")
    shutil.copytree(RECIPES, tmp_path / "two")
    first = read_catalog(tmp_path / "one")[0]
    assert read_catalog(tmp_path / "two")[0] is first
    shop, stamp = tmp_path / "one" / "shop.yaml", (tmp_path / "one" / "shop.yaml").stat()
    text = shop.read_text("utf-8")
    shop.write_text(text.replace("language: en", "language: es"), "utf-8")  # of the same length
    os.utime(shop, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert read_catalog(tmp_path / "one")[0].station.language == "es"
    shop.write_text(text, "utf-8")
    assert read_catalog(tmp_path / "one")[0] is first


def test_faults_name_the_folder_that_was_read(tmp_path: Path) -> None:
    for name in ("one", "two"):
        shutil.copytree(RECIPES, tmp_path / name)
        (tmp_path / name / "fabrics.yaml").rename(tmp_path / name / "fabric.yaml")
        faults = read_catalog(tmp_path / name)[1]
        missing = next(each for each in faults if each.file.endswith("fabrics.yaml"))
        assert missing.file == str(tmp_path / name / "fabrics.yaml")
