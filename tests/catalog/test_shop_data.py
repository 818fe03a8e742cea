"""The catalog and jobs that ship with the kiosk."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from catalog_folders import JOBS, RECIPES, ROOT

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.orders import BY_CODE, Job, SizeClass
from kiosk.catalog.model.sheets import DyeRisk, Peel, SheetRule, Surface
from kiosk.catalog.model.source import SourceKind
from kiosk.catalog.read import list_jobs, read_catalog, read_job
from kiosk.catalog.roster.upside_down import has_twin


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


def test_the_shipped_catalog_is_large_enough(catalog: Catalog) -> None:
    assert len(catalog.materials) >= 10
    assert len(catalog.fabrics) >= 6
    assert len(catalog.recipes) >= 8
    assert len(catalog.presses) >= 2


def test_every_shipped_value_is_marked_as_a_guess(catalog: Catalog) -> None:
    """They come from no supplier and have not been tried at a press."""
    sources = [m.source for m in catalog.materials.values()]
    sources += [f.source for f in catalog.fabrics.values()]
    sources += [p.source for p in catalog.presses.values()]
    kinds = {s.kind for each in sources for s in (each.owner, *each.keys.values())}
    assert kinds == {SourceKind.GUESS}


@pytest.mark.parametrize("name", ["materials.yaml", "fabrics.yaml", "shop.yaml", "packs.yaml"])
def test_each_file_says_guess_before_its_first_value(name: str) -> None:
    head, *_ = (RECIPES / name).read_text("utf-8").split("\n\n")
    assert "guess" in head
    assert not {"tested", "measured"} & set(re.findall(r"[a-z]+", head.lower()))


def test_the_materials_cover_every_rule_between_them(catalog: Catalog) -> None:
    materials = catalog.materials.values()
    rules = {rule for m in materials for rule in (m.sheet_carrier_on, m.sheet_carrier_off)}
    assert rules == set(SheetRule)
    assert {m.surface for m in materials} == set(Surface)
    assert {m.carrier for m in materials} == {m.blocks_dye for m in materials} == {True, False}
    assert {m.temperature.low.unit for m in materials} == set(Degrees)
    assert {bool(m.peel_wait) for m in materials} == {True, False}
    assert any(len({band.allowed for band in m.peel}) > 1 for m in materials)
    assert {frozenset({peel}) for peel in Peel} <= {b.allowed for m in materials for b in m.peel}


def test_the_fabrics_and_presses_cover_every_rule_between_them(catalog: Catalog) -> None:
    fabrics, presses = catalog.fabrics.values(), catalog.presses.values()
    assert {fabric.dye_risk for fabric in fabrics} == set(DyeRisk)
    assert {fabric.dye_cap is None for fabric in fabrics} == {True, False}
    assert {len(fabric.dwell_max) > 1 for fabric in fabrics} == {True, False}
    coolest = min(m.temperature.high.exact_in(Degrees.C) for m in catalog.materials.values())
    shy = min(fabric.temperature_max.exact_in(Degrees.C) for fabric in fabrics)
    assert coolest <= shy < 140  # something can be pressed on the most heat-sensitive cloth
    assert {press.unit for press in presses} == set(Degrees)
    assert {press.opens_itself for press in presses} == {True, False}
    assert {press.collar_toward_operator for press in presses} == {True, False}
    assert len({press.closes_in.value for press in presses}) == len(presses)


def test_every_warm_or_cold_peel_has_a_wait_or_an_estimate(catalog: Catalog) -> None:
    """A pile surface has an estimate only if the material has heat values of its own."""
    for material in catalog.materials.values():
        allowed = frozenset[Peel]().union(*(band.allowed for band in material.peel))
        missing = allowed - {Peel.HOT} - material.peel_wait.keys()
        assert not missing or not material.peel_wait, material.key
        assert not missing or material.surface is not Surface.PILE or material.heat


def test_recipes_use_only_known_materials(catalog: Catalog) -> None:
    used = {
        layer.material
        for recipe in catalog.recipes.values()
        for panel in recipe.panels
        for element in panel.elements
        for layer in element.layers
    }
    assert used <= catalog.materials.keys()


def test_there_is_a_small_and_a_large_job(jobs: dict[int, Job]) -> None:
    assert min(jobs) < 10
    assert max(jobs) >= 40


def test_every_job_has_look_alike_numbers_and_non_ascii_names(jobs: dict[int, Job]) -> None:
    for job in jobs.values():
        numbers = {line.number for line in job.roster}
        assert {"0", "00", "07"} <= numbers, job.key
        assert any(has_twin(number, numbers) for number in numbers), job.key
        names = "".join(line.name for line in job.roster)
        assert {"Ñ", "'", "-"} <= set(names), job.key
        assert {letter for letter in names if not letter.isascii()} - {"Ñ"}, job.key


def test_the_jobs_cover_youth_and_adult_sizes(jobs: dict[int, Job]) -> None:
    classes = {BY_CODE[line.size].size_class for job in jobs.values() for line in job.roster}
    assert classes == set(SizeClass)


def test_at_least_one_job_is_always_peeled_cold(jobs: dict[int, Job], catalog: Catalog) -> None:
    """So its garments cool on the rack."""
    cold = {
        job.key
        for job in jobs.values()
        for panel in catalog.recipes[job.recipe].panels
        if all(
            {band.allowed for band in catalog.materials[layer.material].peel}
            == {frozenset({Peel.COLD})}
            for element in panel.elements
            for layer in element.layers
        )
    }
    assert cold


def test_reading_the_catalog_loads_no_window_library() -> None:
    code = (
        "import sys, kiosk.catalog.read; sys.exit(any(m.startswith('kivy') for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False).returncode == 0
