"""The reference compared with the worked cases supplied with the design (made-up sheets)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from settings_reference import reference_solve
from sheets_from_json import case_arguments

CASES = Path(__file__).parents[3] / "shared" / "examples" / "settings-cases.json"

if not CASES.exists():
    pytest.skip(f"the worked cases are not at {CASES}", allow_module_level=True)
BOOK = json.loads(CASES.read_text())


def answer(case_id: str) -> dict[str, Any]:
    case = next(case for case in BOOK["cases"] if case["id"] == case_id)
    return reference_solve(*case_arguments(case, BOOK))


def as_in_the_case(panel: dict[str, Any]) -> dict[str, Any]:
    """Return the panel with the names of the worked cases, whose presses are all in °F."""
    kept = ("purpose", "elements", "dwell_s", "pressure", "cover_sheet", "peel")
    return {
        "status": "ok",
        "closings": [
            {"temperature_f": closing["temperature"], **{key: closing[key] for key in kept}}
            for closing in panel["closings"]
        ],
        "element_heat_s": panel["element_heat_s"],
        "fabric_heat_s": panel["fabric_heat_s"],
        "warnings": panel["warnings"],
        "setting_change_f": panel["setting_change"],
    }


@pytest.mark.parametrize(
    "case", [c for c in BOOK["cases"] if c["expect"]["status"] == "ok"], ids=lambda c: c["id"]
)
def test_a_pressable_case_matches_its_worked_answer(case: dict[str, Any]) -> None:
    (panel,) = answer(case["id"])["panels"]
    assert as_in_the_case(panel) == case["expect"]


@pytest.mark.parametrize(
    "case", [c for c in BOOK["cases"] if c["expect"]["status"] != "ok"], ids=lambda c: c["id"]
)
def test_a_refused_case_has_as_many_conflicting_limits_as_worked_out(case: dict[str, Any]) -> None:
    found = answer(case["id"])
    assert found["status"] == "infeasible"
    assert len(found["conflict"]) == case["expect"]["conflict_size"]


def test_a_name_too_hot_for_the_cloth_names_both_limits_and_the_gap() -> None:
    assert answer("C05") == {
        "status": "infeasible",
        "panel": "back",
        "conflict": ["name.1.temperature.low=300 F", "fabric.temperature_max=280 F"],
        "gap": {"temperature_f": 20},
    }


def test_a_film_that_takes_nothing_on_top_conflicts_with_its_upper_layer() -> None:
    assert answer("C10")["conflict"] == ["number.1.accepts_on_top=no", "number.2.layer=2"]


def test_the_usable_span_of_layered_film_matches_the_design() -> None:
    (panel,) = answer("C02")["panels"]
    assert panel["usable"] == [
        {"temperature": [260, 279], "dwell_s": [15, 20]},
        {"temperature": [280, 300], "dwell_s": [10, 15]},
    ]
