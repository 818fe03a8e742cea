"""Invented sheets of a material, a fabric and a press, written as answers."""

from __future__ import annotations

from pathlib import Path

from catalog_folders import recipes_with

from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.entries import EntryDraft, add, begin
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.read import read_catalog
from kiosk.words import Words

SAY = Words("en").say
# An invented sheet, written as answers; None: the sheet does not say.
FILM: dict[str, str | None] = {
    "source": "supplier sheet",
    "source.title": "Film 7, application",
    "source.date": "2026-03-01",
    "title": "Film 7: matt, no gloss",
    "temperature.low": "150 C",
    "temperature.high": "165 C",
    "temperature.normal": "155 C",
    "dwell.1.low": "12 s",
    "dwell.1.high": "16 s",
    "dwell.2.more": "yes",
    "dwell.2.from": "158 C",
    "dwell.2.low": "9 s",
    "dwell.2.high": "12 s",
    "dwell.2.normal": "10 s",
    "pressure.low": "medium",
    "pressure.high": "firm",
    "carrier": "yes",
    "peel.1.allowed": "hot, warm",
    "peel_wait.warm.from": "8 s",
    "peel_wait.warm.to": "20 s",
    "cover_sheet.carrier_off": "required",
    "tack": "yes",
    "tack.normal": "3 s",
    "tack.peel": "hot",
    "goes_on": "fabric, smooth",
    "accepts_on_top": "yes",
}
SAID: dict[str, tuple[str, dict[str, str | None]]] = {
    "material": ("film-7", FILM),
    "fabric": (
        "Net knit",
        {
            "source": "published",
            "source.work": "A made-up handbook",
            "title": None,
            "temperature_max": "160 C",
            "dwell_max.1.at_most": "20 s",
            "dwell_max.2.more": "yes",
            "dwell_max.2.from": "141 C",
            "dwell_max.2.at_most": "12 s",
            "dye_risk": "none",
            "heat.cloth": "light",
        },
    ),
    "press": (
        "Dipper",
        {"source": "supplier sheet", "platen": "400 mm x 500 mm", "set_temperature": "150 C"},
    ),
}


def filled(kind: str, name: str, answers: dict[str, str | None], scale: Degrees) -> EntryDraft:
    """Return a draft with every question answered from `answers`, None for those not in it."""
    draft = begin(kind, name, scale)
    while (question := draft.question) is not None:
        draft, faults = draft.with_answer(question.path, answers.get(question.path))
        assert faults == (), question
    return draft


def clean(recipes: Path) -> Catalog:
    catalog, faults = read_catalog(recipes)
    assert faults == ()
    return catalog


def written(folder: Path, kind: str, scale: Degrees = Degrees.C) -> str:
    """Write a kind's sheet into the trial shop; return the text added to its file alone."""
    recipes = recipes_with(folder, "shop.yaml")
    before = {path: path.read_text("utf-8") for path in recipes.iterdir()}
    assert add(recipes, filled(kind, *SAID[kind], scale), SAY) == ()
    (changed,) = [p for p in recipes.iterdir() if p.read_text("utf-8") != before.get(p)]
    after = changed.read_text("utf-8")
    same = (a == b for a, b in zip(before[changed], after, strict=False))
    start = next((at for at, each in enumerate(same) if not each), len(before[changed]))
    rest = before[changed][start:]
    assert after.endswith(rest)
    return after[start : len(after) - len(rest)]
