"""Job folders: found by name, their references checked, their roster kept inside."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from catalog_folders import JOBS, ids, job_with, only, own_catalog

from kiosk.catalog.base import say
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import Policy, StationSettings
from kiosk.catalog.read import JobNotFoundError, find_job, list_jobs, read_job

ROSTER = "line,size,name,number\n1,AL,MUÑERA,7\n"


def test_a_job_is_read_by_its_folder_or_its_file(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    job, faults = read_job(folder, own_catalog())
    assert not faults
    assert job is not None
    assert (job.key, job.title, job.folder) == ("night-trial", "Night trial", str(folder))
    assert (job.recipe, job.fabric, job.press) == ("two-layers", "plain-cloth", "front-press")
    assert read_job(folder / "job.yaml", own_catalog()) == (job, ())


def test_the_rosters_digest_is_the_hash_of_its_bytes(tmp_path: Path) -> None:
    job, _ = read_job(job_with(tmp_path, ROSTER), own_catalog())
    assert job is not None
    assert job.roster_digest == hashlib.sha256(ROSTER.encode()).hexdigest()


def test_a_job_without_a_title_is_named_after_its_folder(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    text = (folder / "job.yaml").read_text("utf-8")
    (folder / "job.yaml").write_text(text.replace("title: Night trial\n", ""), "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert not faults
    assert job is not None
    assert job.title == "night-trial"


def test_a_jobs_due_date_must_be_a_valid_iso_8601_date(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    text = (folder / "job.yaml").read_text("utf-8")
    (folder / "job.yaml").write_text(text + "due: 2027-03-04\n", "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert not faults
    assert job is not None
    assert job.due == "2027-03-04"
    (folder / "job.yaml").write_text(text + "due: 2027-02-30\n", "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert job is None
    assert (only(faults).key, only(faults).found) == ("due", "2027-02-30")


def test_lots_must_name_known_materials(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    text = (folder / "job.yaml").read_text("utf-8")
    material = next(iter(own_catalog().materials))
    (folder / "job.yaml").write_text(text + f"lots: {{{material}: R 4711}}\n", "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert not faults
    assert job is not None
    assert job.lots == ((material, "R 4711"),)
    (folder / "job.yaml").write_text(text + "lots: {nothing-known: R 4711}\n", "utf-8")
    job, faults = read_job(folder, own_catalog())
    assert only(faults).key == "lots.nothing-known"


def test_an_unknown_recipe_colour_is_reported_with_the_recipes_colours(tmp_path: Path) -> None:
    place = job_with(tmp_path, ROSTER, colours="{brwn: navy, tan: white}")
    fault = only(read_job(place, own_catalog())[1])
    assert (fault.key, fault.problem.id) == ("colours.brwn", "catalog.job.colour")
    assert (fault.allowed, fault.nearest) == ("brown, tan", "brown")


@pytest.mark.parametrize(
    ("key", "value", "nearest"),
    [
        ("recipe", "two-layer", "two-layers"),
        ("fabric", "plain-clot", "plain-cloth"),
        ("press", "front-pres", "front-press"),
    ],
)
def test_an_unknown_reference_is_reported_with_the_nearest_name(
    tmp_path: Path, key: str, value: str, nearest: str
) -> None:
    job, faults = read_job(job_with(tmp_path, ROSTER, **{key: value}), own_catalog())
    assert job is None
    fault = only(faults)
    assert (fault.key, fault.found, fault.nearest) == (key, value, nearest)
    assert fault.problem.id == "catalog.asked.known"


@pytest.mark.parametrize(
    "roster",
    ["../roster.csv", "/etc/passwd", "a/../../roster.csv", "'C:\\roster.csv'", "'..\\roster.csv'",
     "'\\\\host\\share\\roster.csv'"],
)  # fmt: skip
def test_a_roster_outside_the_folder_is_refused(tmp_path: Path, roster: str) -> None:
    (tmp_path / "roster.csv").write_text(ROSTER, "utf-8")
    job, faults = read_job(job_with(tmp_path, ROSTER, roster=roster), own_catalog())
    assert job is None
    assert ids(faults) == ["roster: job.outside"]


def test_a_link_leading_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret.csv").write_text(ROSTER, "utf-8")
    folder = job_with(tmp_path, ROSTER, roster="link.csv")
    (folder / "link.csv").symlink_to(tmp_path / "secret.csv")
    assert ids(read_job(folder, own_catalog())[1]) == ["roster: job.outside"]


def test_a_loop_of_links_is_refused(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER, roster="one.csv")
    (folder / "one.csv").symlink_to(folder / "two.csv")
    (folder / "two.csv").symlink_to(folder / "one.csv")
    assert ids(read_job(folder, own_catalog())[1]) == ["roster: job.outside"]


def test_a_job_folder_can_be_read_through_a_link(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(job_with(tmp_path, ROSTER))
    assert not read_job(tmp_path / "link", own_catalog())[1]


def test_a_roster_in_a_subfolder_is_read(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER, roster="lists/away.csv")
    (folder / "lists").mkdir()
    (folder / "roster.csv").rename(folder / "lists" / "away.csv")
    assert not read_job(folder, own_catalog())[1]


def test_a_job_without_a_roster_is_told_what_to_write(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    file = folder / "job.yaml"
    file.write_text(
        "".join(line for line in file.read_text("utf-8").splitlines(True) if "roster" not in line)
    )
    fault = only(read_job(folder, own_catalog())[1])
    assert (fault.problem.id, fault.key) == ("catalog.key.missing", "roster")
    assert fault.allowed == say("catalog.like.roster")


@pytest.mark.parametrize("roster", ["gone.csv", "'bad\\0name.csv'", "x" * 79])
def test_a_missing_roster_is_reported_with_its_line_in_job_yaml(
    tmp_path: Path, roster: str
) -> None:
    fault = only(read_job(job_with(tmp_path, ROSTER, roster=roster), own_catalog())[1])
    assert fault.problem.id == "catalog.file.missing"
    assert fault.file == str(tmp_path / "night-trial" / "job.yaml")
    assert (fault.line, fault.key) == (5, "roster")


def test_a_misspelt_roster_is_reported_with_the_file_that_exists(tmp_path: Path) -> None:
    fault = only(read_job(job_with(tmp_path, ROSTER, roster="rooster.csv"), own_catalog())[1])
    assert (fault.found, fault.nearest) == ("rooster.csv", "roster.csv")


def test_a_roster_that_is_a_folder_is_a_fault(tmp_path: Path) -> None:
    fault = only(read_job(job_with(tmp_path, ROSTER, roster="."), own_catalog())[1])
    assert fault.problem.id == "catalog.file.not_plain"


def test_faults_of_both_files_are_reported_at_once(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER.replace("7", "=7"), press="bench-9", colour="blue")
    job, faults = read_job(folder, own_catalog())
    assert job is None
    assert ids(faults) == ["press: asked.known", "colour: key.unknown", "number: roster.formula"]


def test_the_roster_is_checked_even_without_a_catalog(tmp_path: Path) -> None:
    nothing = Catalog({}, {}, {}, Policy(), StationSettings(), {})
    faults = read_job(job_with(tmp_path, ROSTER.replace("7", "=7")), nothing)[1]
    assert ids(faults) == [
        "recipe: asked.known",
        "fabric: asked.known",
        "press: asked.known",
        "number: roster.formula",
    ]


@pytest.mark.parametrize("content", [b"", b"\0", b"- a\n", b"title: !!python/none x\n", b"[" * 50])
def test_a_broken_job_file_is_a_fault(tmp_path: Path, content: bytes) -> None:
    folder = job_with(tmp_path, ROSTER)
    (folder / "job.yaml").write_bytes(content)
    job, faults = read_job(folder, own_catalog())
    assert job is None
    assert len(faults) == 1


def test_a_missing_job_file_is_a_fault(tmp_path: Path) -> None:
    job, faults = read_job(tmp_path / "nowhere", own_catalog())
    assert job is None
    assert only(faults).problem.id == "catalog.file.missing"


def test_a_folder_name_that_cannot_be_a_key_is_refused(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER).rename(tmp_path / "ho\x07me")
    assert only(read_job(folder, own_catalog())[1]).problem.id == "catalog.word.characters"


def test_a_job_name_may_look_like_a_message_id(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER).rename(tmp_path / "@peel.cold")
    job, faults = read_job(folder, own_catalog())
    assert faults == ()
    assert job is not None
    assert job.key == "@peel.cold"


def test_a_job_is_found_by_name_folder_or_file(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    assert find_job("night-trial", tmp_path) == folder
    assert find_job(str(folder), tmp_path / "elsewhere") == folder
    assert find_job(str(folder / "job.yaml"), tmp_path / "elsewhere") == folder


def test_a_folder_without_a_job_does_not_hide_a_job_of_that_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here" / "night-trial").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "here")
    job_with(tmp_path, ROSTER)
    assert find_job("night-trial", tmp_path) == tmp_path / "night-trial"


@pytest.mark.parametrize("name", ["", " ", "night-trail", "x" * 5_000, "a\0b", "@home", "/"])
def test_a_missing_job_is_reported_with_the_existing_ones(tmp_path: Path, name: str) -> None:
    job_with(tmp_path, ROSTER)
    with pytest.raises(JobNotFoundError) as refused:
        find_job(name, tmp_path)
    assert refused.value.fault.allowed == "night-trial"
    assert refused.value.fault.nearest == ("night-trial" if name == "night-trail" else "")


def test_jobs_are_listed_from_folders_with_a_job_file(tmp_path: Path) -> None:
    folder = job_with(tmp_path, ROSTER)
    (tmp_path / "no-job").mkdir()
    (tmp_path / "remark.txt").write_text("x", "utf-8")
    assert list_jobs(tmp_path) == (folder,)
    assert list_jobs(tmp_path / "nowhere") == ()
    assert len(list_jobs(JOBS)) == len(list(JOBS.glob("*/job.yaml"))) > 0
