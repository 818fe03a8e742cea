"""The catalog and the jobs that come with the kiosk."""

from __future__ import annotations

import subprocess
import sys

import pytest
from catalog_folders import JOBS, RECIPES, ROOT

from kiosk.catalog.model import Catalog, Job, Peel, Surface
from kiosk.catalog.read import list_jobs, read_catalog, read_job
from kiosk.catalog.sizes import BY_CODE, SizeClass
from kiosk.catalog.source import SourceKind


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    found, faults = read_catalog(RECIPES)
    assert not faults
    return found


@pytest.fixture(scope="module")
def jobs(catalog: Catalog) -> dict[int, Job]:
    """Return the jobs by their number of garments."""
    read = [read_job(folder, catalog) for folder in list_jobs(JOBS)]
    assert not any(faults for _, faults in read)
    return {len(job.roster): job for job, _ in read if job is not None}


def test_there_is_enough_of_everything(catalog: Catalog) -> None:
    assert len(catalog.materials) >= 9
    assert len(catalog.fabrics) >= 6
    assert len(catalog.recipes) >= 6
    assert len(catalog.presses) >= 2


def test_no_sheet_claims_to_be_a_suppliers(catalog: Catalog) -> None:
    every = [m.source for m in catalog.materials.values()]
    every += [f.source for f in catalog.fabrics.values()]
    every += [p.source for p in catalog.presses.values()]
    kinds = {s.kind for each in every for s in (each.owner, *each.keys.values())}
    assert SourceKind.SUPPLIER_SHEET not in kinds


def test_every_warm_or_cold_peel_has_its_wait_or_is_left_to_the_estimate(catalog: Catalog) -> None:
    """A pile without values of its own can be estimated by nothing."""
    for material in catalog.materials.values():
        allowed = frozenset[Peel]().union(*(band.allowed for band in material.peel))
        missing = allowed - {Peel.HOT} - material.peel_wait.keys()
        assert not missing or not material.peel_wait, material.key
        assert not missing or material.surface is not Surface.PILE or material.heat


def test_every_material_is_in_a_recipe_or_free_to_be_chosen(catalog: Catalog) -> None:
    used = {
        layer.material
        for recipe in catalog.recipes.values()
        for panel in recipe.panels
        for element in panel.elements
        for layer in element.layers
    }
    assert used <= catalog.materials.keys()


def test_the_three_jobs_have_12_18_and_40_garments(jobs: dict[int, Job]) -> None:
    assert sorted(jobs) == [12, 18, 40]


def test_the_jobs_show_what_goes_wrong_most(jobs: dict[int, Job]) -> None:
    for job in jobs.values():
        numbers = {line.number for line in job.roster}
        assert {"0", "00", "07", "6", "9", "16", "91", "68", "89"} <= numbers, job.key
        names = "".join(line.name for line in job.roster)
        assert {"Ñ", "'", "-"} <= set(names), job.key


def test_the_jobs_reach_from_youth_to_adult(jobs: dict[int, Job]) -> None:
    classes = {BY_CODE[line.size].size_class for job in jobs.values() for line in job.roster}
    assert classes == set(SizeClass)


def test_the_twelve_are_peeled_cold_after_one_closing(
    jobs: dict[int, Job], catalog: Catalog
) -> None:
    (panel,) = catalog.recipes[jobs[12].recipe].panels
    for element in panel.elements:
        (layer,) = element.layers
        assert {b.allowed for b in catalog.materials[layer.material].peel} == {
            frozenset({Peel.COLD})
        }


def test_reading_the_catalog_loads_no_window_library() -> None:
    code = (
        "import sys, kiosk.catalog.read; sys.exit(any(m.startswith('kivy') for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
