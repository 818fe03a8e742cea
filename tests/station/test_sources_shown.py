"""The sources of the numbers on the screen: on the set-up page and while the press is set."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from station_audit import clipped
from station_driver import ROOT, Person, lay_out
from station_harness import Bench

JOB = ROOT / "shared" / "jobs" / "night-regatta" / "job.yaml"
TITLE = str(yaml.safe_load(JOB.read_text("utf-8"))["title"])
KINDS: dict[str, tuple[dict[str, str], str]] = {
    "supplier sheet": ({"title": "Film sheet 4"}, "supplier's sheet “Film sheet 4”: "),
    "shop trial": ({"date": "2026-04-02"}, "shop trial of 2026-04-02: "),
    "published": ({"work": "Handbook"}, "published in “Handbook”: "),
    "guess": ({}, "guess: "),
}


def shop_by(place: Path, kind: str) -> Path:
    """Give every material and fabric of the shop's own files this source."""
    for name in ("materials.yaml", "fabrics.yaml"):
        path = place / "recipes" / name
        content: dict[str, Any] = yaml.safe_load(path.read_text("utf-8"))
        for each in content.values():
            each["source"] = {"kind": kind, **KINDS[kind][0]}
        path.write_text(yaml.safe_dump(content, allow_unicode=True, sort_keys=False), "utf-8")
    return place


@pytest.mark.parametrize("kind", KINDS)
def test_the_set_up_and_the_setting_name_the_source(
    kind: str, bench: Bench, tmp_path: Path
) -> None:
    person = Person(bench, shop_by(lay_out(tmp_path), kind))
    person.first_start()
    person.choose(TITLE)
    said = person.texts()
    assert KINDS[kind][1] in said
    assert "guess: " in said  # the press's source
    assert list(clipped(person.station)) == []
    person.choose("Read the cautions")
    said = person.texts()
    assert "Guesses, not tried: " in said
    named = said.split("Guesses, not tried: ")[1].splitlines()[0]
    assert ("film" in named) == (kind == "guess")
    assert list(clipped(person.station)) == []
    person.close()
