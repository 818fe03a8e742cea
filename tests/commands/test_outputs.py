"""No output overwrites a file of another kind, under whatever name it is reached."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest
from command_line import Result, kiosk
from shop_folders import write_shop

from kiosk.log.verify import verify

# Every option that writes a file; LOG stands for the record, JOB for the job.
OUTPUTS = (
    ("report", "--log", "LOG", "--html"),
    ("report", "--log", "LOG", "--csv"),
    ("report", "--log", "LOG", "--tables"),
    ("log", "--log", "LOG", "--export"),
    ("log", "--log", "LOG", "--backup"),
    ("plan", "JOB", "--picks"),
    ("plan", "JOB", "--html"),
    ("plan", "JOB", "--png"),
    ("proof", "JOB", "--html"),
)
ANYBODYS = ("log", "job.yaml", "roster.csv", ".claimed", "notes.txt", "empty", "page.html")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with a record, a job and various other files."""
    place = tmp_path_factory.mktemp("shop")
    job, *recipes = write_shop(place)
    log = str(place / "log")
    assert kiosk("simulate", job, "--garments", "2", "--log", log, *recipes).code == 0
    (Path(job) / ".claimed").write_text(json.dumps({"station": "a", "since": 1.0}), "utf-8")
    (place / "notes.txt").write_text("call the supplier", "utf-8")
    (place / "page.html").write_text("<!doctype html><title>Our shop</title>", "utf-8")
    (place / "empty").touch()
    return place


def found(shop: Path, name: str) -> Path:
    return next(path for path in (shop / name, job_of(shop) / name) if path.exists())


def job_of(shop: Path) -> Path:
    return next(path.parent for path in shop.rglob("job.yaml"))


def run_with(shop: Path, output: tuple[str, ...], path: Path) -> Result:
    names = {"LOG": str(shop / "log"), "JOB": str(job_of(shop))}
    words = (names.get(word, word) for word in output)
    return kiosk(*words, str(path), "--recipes", str(shop / "recipes"))


def assert_refused(result: Result, path: Path, before: bytes) -> None:
    assert result.code == 2, result
    assert str(path.name) in result.err
    assert path.read_bytes() == before


@pytest.mark.parametrize("name", ANYBODYS)
@pytest.mark.parametrize("output", OUTPUTS, ids=lambda output: f"{output[0]}{output[-1]}")
def test_a_file_of_another_kind_is_never_overwritten(
    shop: Path, output: tuple[str, ...], name: str
) -> None:
    path = found(shop, name)
    assert_refused(run_with(shop, output, path), path, path.read_bytes())


@pytest.mark.parametrize("output", OUTPUTS, ids=lambda output: f"{output[0]}{output[-1]}")
def test_the_record_is_not_overwritten_through_a_link_or_another_path(
    shop: Path, output: tuple[str, ...], tmp_path: Path
) -> None:
    log = shop / "log"
    before = log.read_bytes()
    (tmp_path / "there.html").symlink_to(log)
    os.link(log, tmp_path / "twin.html")
    (tmp_path / "folder").symlink_to(shop, target_is_directory=True)
    names = ("there.html", "twin.html", "folder/log", f"folder/../{shop.name}/log")
    for path in (tmp_path / name for name in names):
        assert_refused(run_with(shop, output, path), path, before)
    assert verify(log).ok


@pytest.mark.parametrize("output", OUTPUTS, ids=lambda output: f"{output[0]}{output[-1]}")
def test_a_pipe_a_folder_and_a_loop_of_links_are_refused(
    shop: Path, output: tuple[str, ...], tmp_path: Path
) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "ring").symlink_to(tmp_path / "gnir")
    (tmp_path / "gnir").symlink_to(tmp_path / "ring")
    for path in (tmp_path / "pipe", tmp_path / "ring", tmp_path):
        result = run_with(shop, output, path)
        assert result.code in {1, 2}
        assert str(path.name) in result.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["gnir", "pipe", "ring"]


@pytest.mark.parametrize(
    "output",
    [output for output in OUTPUTS if output[-1] != "--backup"],
    ids=lambda output: f"{output[0]}{output[-1]}",
)
def test_a_file_of_its_own_kind_is_replaced_behind_a_link(
    shop: Path, output: tuple[str, ...], tmp_path: Path
) -> None:
    own, link = tmp_path / "own", tmp_path / "link"
    assert run_with(shop, output, own).code == 0
    first = own.stat().st_ino
    link.symlink_to(own)
    assert run_with(shop, output, link).code == 0
    assert link.is_symlink()
    assert own.stat().st_ino != first  # a new file, put in place whole
    assert sorted(path.name for path in tmp_path.iterdir()) == ["link", "own"]


def test_each_output_refuses_the_kind_of_every_other(shop: Path, tmp_path: Path) -> None:
    for output in OUTPUTS:
        assert run_with(shop, output, tmp_path / f"{output[0]}{output[-1]}").code == 0
    for output in OUTPUTS:
        for other in OUTPUTS:
            path = tmp_path / f"{other[0]}{other[-1]}"
            if other != output:
                assert_refused(run_with(shop, output, path), path, path.read_bytes())


def test_if_one_of_two_files_is_refused_nothing_is_written(shop: Path, tmp_path: Path) -> None:
    log = ("report", "--log", str(shop / "log"))
    twice = str(tmp_path / "one")
    result = kiosk(*log, "--csv", twice, "--html", str(shop / "notes.txt"))
    assert (result.code, result.out) == (2, "")
    assert kiosk(*log, "--csv", twice, "--html", twice).code == 2
    assert list(tmp_path.iterdir()) == []


def test_files_with_initials_or_names_are_readable_only_by_their_owner(
    shop: Path, tmp_path: Path
) -> None:
    for output in OUTPUTS:
        path = tmp_path / f"{output[0]}{output[-1]}"
        assert run_with(shop, output, path).code == 0
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o644 if output[0] == "plan" else 0o600), path
    named = tmp_path / "plan--picks"
    assert run_with(shop, ("plan", "JOB", "--names", "--picks"), named).code == 0
    assert stat.S_IMODE(named.stat().st_mode) == 0o600


def test_exported_events_are_not_treated_as_a_damaged_record(shop: Path, tmp_path: Path) -> None:
    export = tmp_path / "events.jsonl"
    assert run_with(shop, ("log", "--log", "LOG", "--export"), export).code == 0
    before = export.read_bytes()
    result = run_with(shop, ("simulate", "JOB", "--garments", "1", "--log"), export)
    assert result.code == 1
    assert "left alone" in result.err
    assert export.read_bytes() == before


def test_a_report_on_a_truncated_record_says_it_is_damaged(shop: Path, tmp_path: Path) -> None:
    """The rest has no sign-on, so without the message it would read as a day without work."""
    cut = tmp_path / "cut"
    cut.write_bytes((shop / "log").read_bytes()[:20_000])  # a copy that was interrupted
    for more in ((), ("--garment", "trial/31")):
        result = kiosk("report", "--log", str(cut), *more, "--recipes", str(shop / "recipes"))
        assert (result.code, result.out) == (1, "")
        assert "is damaged" in result.err
