"""The sources of numbers, in everything that the command line prints and writes."""

from __future__ import annotations

import json
import re
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from command_line import ROOT, kiosk
from shop_folders import FILM, write_shop

KINDS: dict[str, tuple[dict[str, str], str]] = {
    "supplier sheet": (
        {"title": "Film sheet 4", "date": "2026-03-01"},
        "supplier's sheet “Film sheet 4” of 2026-03-01",
    ),
    "shop trial": ({"date": "2026-04-02", "initials": "MV"}, "shop trial of 2026-04-02 by MV"),
    "published": ({"work": "Handbook of films"}, "published in “Handbook of films”"),
    "guess": ({}, "guess"),
}
WAITS = {"supplier sheet": "sheet", "shop trial": "trial", "published": "published"}
# Other uses of "sheet": the cover sheet, and the advice that the supplier's sheet comes first.
ANOTHER = re.compile(
    r"cover.sheet|sheet on|no sheet|sheet off|sheet over|sheet keeps bare film|lay the sheet|"
    r"material's own sheet( comes first)?|spreadsheet|without a sheet|#sheet_\w+",  # an id's rule
    re.IGNORECASE,
)


def shop_of(tmp_path: Path, kind: str) -> list[str]:
    """Return a shop whose film is peeled cold after 20 to 400 s, by this kind of source."""
    film: dict[str, Any] = deepcopy(FILM)
    film["peel"][0]["allowed"] = ["cold"]
    film["peel_wait"] = {"cold": {"from": "20 s", "to": "400 s"}}
    film["source"] = {"kind": kind, **KINDS[kind][0]}
    return write_shop(tmp_path, materials={"film": film})


def sheets_in(text: str) -> list[str]:
    """Return the lines that call something other than a cover sheet a sheet."""
    return [line for line in text.splitlines() if "sheet" in ANOTHER.sub("", line).lower()]


@pytest.mark.parametrize("kind", KINDS)
def test_the_plan_names_the_source_in_text_json_and_page(kind: str, tmp_path: Path) -> None:
    args = shop_of(tmp_path, kind)
    text = kiosk("plan", *args).out
    page = tmp_path / "plan.html"
    made = kiosk("plan", *args, "--json", "--html", str(page))
    assert made.code == 0
    plan, html = json.loads(made.out), page.read_text("utf-8").replace("&#x27;", "'")
    for form in (text, html):
        assert f"{KINDS[kind][1]}: Plain cut film" in form
        assert "guess: " in form  # the cloth and the press
        assert bool(sheets_in(form)) == (kind == "supplier sheet")
    assert plan["sources"]["materials"]["film"] == {"kind": kind, **KINDS[kind][0]}
    assert plan["sources"]["fabric"] == plan["sources"]["press"] == {"kind": "guess"}
    assert bool(sheets_in(made.out)) == (kind == "supplier sheet")


@pytest.mark.parametrize("kind", KINDS)
def test_a_waits_source_is_named_and_a_guess_yields_to_the_estimate(
    kind: str, tmp_path: Path
) -> None:
    args = shop_of(tmp_path, kind)
    (peel,) = json.loads(kiosk("plan", *args, "--json").out)["heat"]["passes"][0]["peels"]
    line = next(each for each in kiosk("plan", *args).out.splitlines() if "Lay it flat" in each)
    if kind == "guess":
        assert (peel["source"], peel["origin"], peel["guess_s"]) == ("estimate", None, [20, 400])
        assert peel["from_s"] > 100  # cold, from the heat in the stack
        assert "estimated from the heat in the stack; a guess says 20 to 400 s" in line
    else:
        assert (peel["source"], peel["guess_s"], peel["from_s"]) == (WAITS[kind], None, 20)
        assert peel["origin"] == {"kind": kind, **KINDS[kind][0]}
        assert f"20 to 400 s after opening ({KINDS[kind][1]})" in line


def test_a_hot_peels_window_is_marked_as_an_estimate(tmp_path: Path) -> None:
    text = kiosk("plan", *write_shop(tmp_path)).out
    assert re.search(r"Peel hot: at once; late from \d+ to \d+ s .*, estimated", text)


@pytest.mark.parametrize("kind", KINDS)
def test_the_report_names_the_source_and_never_scores_a_guess(kind: str, tmp_path: Path) -> None:
    args, log = shop_of(tmp_path, kind), str(tmp_path / "log.sqlite3")
    assert kiosk("simulate", *args, "--seed", "3", "--log", log).code == 0
    page, table = tmp_path / "report.html", tmp_path / "report.csv"
    files = ("--html", str(page), "--csv", str(table))
    text = kiosk("report", "--log", log, *files).out
    found = json.loads(kiosk("report", "--log", log, "--json").out)
    (source,) = found["sources"]
    assert source["materials"]["film"]["kind"] == kind
    html, csv = page.read_text("utf-8").replace("&#x27;", "'"), table.read_text("utf-8")
    for form in (text, html):
        assert bool(sheets_in(form)) == (kind == "supplier sheet")
    assert KINDS[kind][1] in html
    (header, *rows) = csv.splitlines()
    assert header.endswith(",numbers_from")
    kinds = "guess" if kind == "guess" else f"guess; {kind}"
    assert all(row.replace('"', "").endswith(f",{kinds}") for row in rows)
    (peel,) = found["peels"]
    assert peel["n"] == 3
    assert peel["wait_by"] == WAITS.get(kind, "estimate")


def test_no_shipped_guess_is_called_a_sheet(tmp_path: Path) -> None:
    """Output of `check`, `plan` and `report` on the shipped jobs, whose values are all guesses."""
    assert sheets_in(kiosk("check").out) == []
    for job in sorted((ROOT / "shared" / "jobs").iterdir()):
        page, log = tmp_path / "plan.html", str(tmp_path / f"{job.name}.sqlite3")
        plan = kiosk("plan", str(job), "--html", str(page))
        assert sheets_in(plan.out) == []
        assert sheets_in(page.read_text("utf-8").replace("&#x27;", "'")) == []
        assert sheets_in(kiosk("plan", str(job), "--json").out) == []
        assert kiosk("simulate", str(job), "--garments", "3", "--log", log).code == 0
        made = tmp_path / "report.html"
        report = kiosk("report", "--log", log, "--html", str(made))
        assert sheets_in(report.out) == []
        assert sheets_in(made.read_text("utf-8").replace("&#x27;", "'")) == []
