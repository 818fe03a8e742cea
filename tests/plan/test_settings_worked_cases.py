"""The worked cases supplied with the design (made-up sheets), read as a shop's files."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from settings_samples import SAY, limits, offers

from kiosk.catalog.read import read_catalog
from kiosk.plan.model import Closing, PanelRefusal, PanelSettings, UsableSpan
from kiosk.plan.settings import solve

CASES = Path(__file__).parents[3] / "shared" / "examples" / "settings-cases.json"
if not CASES.exists():
    pytest.skip(f"the worked cases are not at {CASES}", allow_module_level=True)
BOOK = json.loads(CASES.read_text("utf-8"))
BY_ID = {case["id"]: case for case in BOOK["cases"]}
PRESSABLE = [key for key, case in BY_ID.items() if case["expect"]["status"] == "ok"]


def solved(case: Any, folder: Path) -> tuple[PanelSettings, ...] | PanelRefusal:
    """Solve a case written to files: JSON is also YAML."""
    files = {
        "materials": BOOK["materials"],
        "fabrics": BOOK["fabrics"],
        "shop": case["shop"],
        "case": case["recipe"],
    }
    for name, content in files.items():
        (folder / f"{name}.yaml").write_text(json.dumps(content), "utf-8")
    catalog, faults = read_catalog(folder)
    assert faults == ()
    return solve(
        catalog.recipes["case"],
        catalog.fabrics[case["fabric"]],
        catalog.presses["bench-1"],
        catalog.policy,
        catalog.materials,
        catalog.fabrics,
    )


def only_panel(case_id: str, folder: Path) -> PanelSettings:
    found = solved(BY_ID[case_id], folder)
    assert not isinstance(found, PanelRefusal), found
    (panel,) = found
    return panel


def refusal(case_id: str, folder: Path) -> PanelRefusal:
    found = solved(BY_ID[case_id], folder)
    assert isinstance(found, PanelRefusal), found
    return found


def closing_as_in_the_case(closing: Closing) -> dict[str, Any]:
    return {
        "purpose": closing.purpose.value,
        "elements": list(closing.pieces),
        "temperature_f": closing.temperature,
        "dwell_s": closing.dwell_seconds,
        "pressure": [closing.pressure_low.word, closing.pressure_high.word],
        "cover_sheet": closing.cover_sheet,
        "peel": {piece: peel.word for piece, peel in closing.peel.items()},
    }


@pytest.mark.parametrize("case_id", PRESSABLE)
def test_a_pressable_case_matches_its_worked_answer(case_id: str, tmp_path: Path) -> None:
    panel = only_panel(case_id, tmp_path)
    assert {
        "status": "ok",
        "closings": [closing_as_in_the_case(closing) for closing in panel.closings],
        "element_heat_s": dict(panel.element_heat_seconds),
        "fabric_heat_s": panel.fabric_heat_seconds,
        "warnings": list(panel.warnings),
        "setting_change_f": panel.setting_change,
    } == BY_ID[case_id]["expect"]


@pytest.mark.parametrize("case_id", sorted(set(BY_ID) - set(PRESSABLE)))
def test_a_refused_case_has_as_many_conflicting_limits_as_worked_out(
    case_id: str, tmp_path: Path
) -> None:
    assert len(refusal(case_id, tmp_path).conflict) == BY_ID[case_id]["expect"]["conflict_size"]


def test_a_name_too_hot_for_the_cloth_gets_changes_that_work(tmp_path: Path) -> None:
    found = refusal("C05", tmp_path)
    assert limits(found) == ["name.1.temperature.low=300 F", "fabric.temperature_max=280 F"]
    assert found.gap == {"temperature_f": 20}
    assert offers(found) == [
        "Use another material for name.1: print-digit (275 F), layer-film (275 F), "
        "pattern-film (280 F), lowheat-film (250 F)",
        "Use another fabric: knit-poly, cotton-knit",
    ]


def test_a_film_that_takes_nothing_on_top_gets_a_swap_or_one_layer(tmp_path: Path) -> None:
    found = refusal("C10", tmp_path)
    assert limits(found) == ["number.1.accepts_on_top=no", "number.2.layer=2"]
    assert found.gap == {}
    assert offers(found) == [
        "Use another material for number.1: layer-film (300 F), lowheat-film (265 F)",
        "Swap the layers: number.1 layer-film, number.2 pattern-film",
        "Press only one layer: number.1 pattern-film",
        "Press only one layer: number.1 layer-film",
    ]


def test_the_usable_span_of_layered_film_matches_the_design(tmp_path: Path) -> None:
    panel = only_panel("C02", tmp_path)
    assert panel.usable == (UsableSpan(260, 279, 15, 20), UsableSpan(280, 300, 10, 15))
    assert SAY.say(panel.changed_from_normal[0]) == "name.1 temperature 280 F -> 300 F"


def test_the_swapped_stack_is_usable_only_where_both_films_agree(tmp_path: Path) -> None:
    """At 280..289 the upper film needs 18 s and the lower allows 15 s, as the case explains."""
    assert only_panel("X02", tmp_path).usable == (UsableSpan(290, 300, 15, 15),)
