"""The quiz explains a limit with its source: no guess is taught as a fact or called a sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from catalog_jobs import catalog, job

from kiosk.catalog.model.source import Source, SourceKind, Sources
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import PanelRefusal
from kiosk.plan.procedure import plan_job
from kiosk.train.question import Subject
from kiosk.train.quiz import quiz, subject_of
from kiosk.words import Words

KINDS = {
    SourceKind.SUPPLIER_SHEET: "(supplier's sheet “Film sheet 4”)",
    SourceKind.SHOP_TRIAL: "(shop trial of 2026-04-02)",
    SourceKind.PUBLISHED: "(published in “Handbook”)",
    SourceKind.GUESS: "(guess)",
}
SOURCES = {
    SourceKind.SUPPLIER_SHEET: Source(SourceKind.SUPPLIER_SHEET, title="Film sheet 4"),
    SourceKind.SHOP_TRIAL: Source(SourceKind.SHOP_TRIAL, date="2026-04-02"),
    SourceKind.PUBLISHED: Source(SourceKind.PUBLISHED, work="Handbook"),
    SourceKind.GUESS: Source(),
}
SEEDS = 6


def subjects(kind: SourceKind) -> Iterator[Subject]:
    """Return every shipped recipe that can be pressed on a fabric of the shop, with one source."""
    own, sources = catalog(), Sources(SOURCES[kind])
    told = replace(
        own,
        materials={k: replace(m, source=sources) for k, m in own.materials.items()},
        fabrics={k: replace(f, source=sources) for k, f in own.fabrics.items()},
    )
    for recipe in own.recipes:
        for fabric in own.fabrics:
            asked = job(recipe, fabric, next(iter(own.presses)))
            plan = plan_job(asked, told, read_face())
            if not isinstance(plan, PanelRefusal):
                yield subject_of(asked, told, plan)
                break


@pytest.mark.parametrize("kind", list(SourceKind))
def test_a_limit_is_explained_with_its_source(kind: SourceKind) -> None:
    words = Words()
    said = [
        words.say(why)
        for subject in subjects(kind)
        for seed in range(SEEDS)
        for asked in quiz(subject, str(seed))
        if asked.kind in ("both", "hotter")
        for option in asked.options
        for why in option.why
        if why.id not in ("quiz.why.both",)
    ]
    assert len(said) > 20
    assert all(KINDS[kind] in each for each in said)
    bare = [each.replace("cover sheet", "") for each in said]
    assert all(("sheet" in each) == (kind is SourceKind.SUPPLIER_SHEET) for each in bare)


def test_the_material_requires_the_cover_sheet_whatever_the_source() -> None:
    words = {code: Words(code) for code in ("en", "es")}
    said = {
        code: [
            speaks.say(why)
            for subject in subjects(SourceKind.GUESS)
            for seed in range(SEEDS)
            for asked in quiz(subject, str(seed))
            if asked.kind == "sheet"
            for why in asked.right.why
        ]
        for code, speaks in words.items()
    }
    assert said["en"]
    assert not any("its sheet" in each.lower() for each in said["en"])
    assert not any("ficha" in each for each in said["es"])
