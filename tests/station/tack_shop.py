"""A shop with a film whose tack is peeled warm or cold; every value is made up."""

from __future__ import annotations

from pathlib import Path

from kiosk.catalog.model.sheets import Peel

ROOT = Path(__file__).resolve().parents[2]
FILM = """
made-up-film:
  title: Made-up film
  temperature: {low: 280 F, high: 320 F, normal: 300 F}
  dwell: [{from: 280 F, to: 320 F, low: 10 s, high: 16 s, normal: 12 s}]
  pressure: {low: light, high: firm}
  peel: [{from: 280 F, to: 320 F, allowed: [hot]}]
  cover_sheet: {carrier_on: optional, carrier_off: required}
  carrier: yes
  tack: {low: 2 s, high: 5 s, normal: 3 s, peel: [WORD]}
  surface: smooth
  goes_on: [fabric, smooth]
  accepts_on_top: yes
  total_heat: 60 s
  blocks_dye: no
  source: guess
"""
RECIPE = """
title: Made-up number in two layers, a badge of one
panels:
  - panel: back
    elements:
      - {element: badge, layers: [{material: made-up-film, colour: plum}], height: 2 in}
      - element: number
        layers: [{material: made-up-film, colour: plum}, {material: made-up-film, colour: sand}]
"""
JOB = """
title: Made-up set
recipe: made-up-pair
fabric: deck-knit
press: heron
roster: roster.csv
"""


def shop(place: Path, peel: Peel) -> Path:
    """Lay out a job of numbers in two layers, of a film whose tack is peeled at `peel`."""
    (place / "recipes").mkdir()
    for each in (ROOT / "recipes").iterdir():
        (place / "recipes" / each.name).write_bytes(each.read_bytes())
    rules = place / "recipes" / "shop.yaml"
    rules.write_text(rules.read_text("utf-8").replace("trial: asked", "trial: no"), "utf-8")
    with (place / "recipes" / "materials.yaml").open("a", encoding="utf-8") as sheets:
        sheets.write(FILM.replace("WORD", peel.word))
    (place / "recipes" / "made-up-pair.yaml").write_text(RECIPE.lstrip(), "utf-8")
    folder = place / "jobs" / "made-up"
    folder.mkdir(parents=True)
    (folder / "job.yaml").write_text(JOB.lstrip(), "utf-8")
    (folder / "roster.csv").write_text("line,size,number\n1,AM,27\n2,AM,52\n3,AM,34\n", "utf-8")
    return place
