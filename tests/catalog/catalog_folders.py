"""Real folders on disk with one thing changed, and short views of the faults found in them."""

from __future__ import annotations

import shutil
import tempfile
from functools import cache
from pathlib import Path
from unicodedata import category

from kiosk.catalog.base.notes import Fault
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import Job
from kiosk.catalog.read import read_catalog, read_job

ROOT = Path(__file__).resolve().parents[2]
RECIPES, JOBS = ROOT / "recipes", ROOT / "shared" / "jobs"
TRIAL = Path(__file__).with_name("trial-shop")  # values for tests only; none of them ships
OF_EVERY_SHOP = ("codes.yaml", "number-sizes.yaml", "placement.yaml", "sign-off.yaml")
LAYERED = "two-layers.yaml"


def recipes_with(tmp_path: Path, file: str, *changes: tuple[str, str]) -> Path:
    """Return a copy of the trial shop with the first `old` of `file` changed to `new`."""
    folder = tmp_path / "recipes"
    if not folder.exists():
        shutil.copytree(TRIAL, folder)
        for name in OF_EVERY_SHOP:
            shutil.copy(RECIPES / name, folder / name)
    text = (folder / file).read_text("utf-8")
    for old, new in changes:
        assert old in text, f"{file} does not hold {old!r}"
        text = text.replace(old, new, 1)
    (folder / file).write_text(text, "utf-8")
    return folder


def faults_with(tmp_path: Path, file: str, *changes: tuple[str, str]) -> tuple[Fault, ...]:
    """Return the faults of the changed copy."""
    return read_catalog(recipes_with(tmp_path, file, *changes))[1]


def only(faults: tuple[Fault, ...]) -> Fault:
    """Return the only fault."""
    assert len(faults) == 1, ids(faults)
    return faults[0]


def ids(faults: tuple[Fault, ...]) -> list[str]:
    """Return `key: problem id` of each fault, without the room's prefix."""
    return [f"{fault.key}: {fault.problem.id.removeprefix('catalog.')}" for fault in faults]


@cache
def own_catalog() -> Catalog:
    """Return the catalog of the trial shop."""
    with tempfile.TemporaryDirectory() as place:
        catalog, faults = read_catalog(recipes_with(Path(place), LAYERED))
    assert not faults
    return catalog


def job_with(tmp_path: Path, rows: bytes | str, **keys: str) -> Path:
    """Return a job folder with these rows as its roster; `keys` replace those of its job.yaml."""
    folder = tmp_path / "night-trial"
    folder.mkdir(exist_ok=True)
    content = {
        "title": "Night trial",
        "recipe": "two-layers",
        "fabric": "plain-cloth",
        "press": "front-press",
        "roster": "roster.csv",
        **keys,
    }
    text = "".join(f"{key}: {value}\n" for key, value in content.items())
    (folder / "job.yaml").write_text(text, "utf-8")
    data = rows.encode("utf-8") if isinstance(rows, str) else rows
    (folder / "roster.csv").write_bytes(data)
    return folder


def read_roster(tmp_path: Path, rows: bytes | str) -> tuple[Job | None, tuple[Fault, ...]]:
    """Return the job and faults read from a job folder with these rows as its roster."""
    return read_job(job_with(tmp_path, rows), own_catalog())


def is_one_line(text: str) -> bool:
    """Return whether a terminal shows `text` as one line and obeys nothing in it."""
    return len(text.splitlines()) == 1 and not any(category(c) == "Cc" for c in text)
