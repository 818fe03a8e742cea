"""The worked cases of settings as recipes folders, planned by `kiosk plan --json`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from command_line import kiosk
from shop_folders import write_shop

FILE = json.loads((Path(__file__).parent / "settings-cases.json").read_text("utf-8"))
CASES = {case["id"]: case for case in FILE["cases"]}
PRESSED = [name for name, case in CASES.items() if case["expect"]["status"] == "ok"]
REFUSED = [name for name, case in CASES.items() if case["expect"]["status"] != "ok"]


def planned(folder: Path, name: str) -> tuple[int, Any]:
    case = CASES[name]
    # the job takes the first cloth; the others can be offered as a change
    cloth = case["fabric"]
    cloths = {cloth: FILE["fabrics"][cloth], **FILE["fabrics"]}
    job = write_shop(
        folder,
        materials=FILE["materials"],
        fabrics=cloths,
        shop=case["shop"],
        recipe=case["recipe"],
    )
    result = kiosk("plan", *job, "--json")
    assert result.err == ""
    return result.code, json.loads(result.out)


@pytest.mark.parametrize("name", PRESSED)
def test_a_pressable_case_has_the_expected_plan(tmp_path: Path, name: str) -> None:
    code, plan = planned(tmp_path, name)
    expected = CASES[name]["expect"]
    assert (code, plan["status"]) == (0, "ok")
    (panel,) = plan["panels"]
    for key, value in expected.items():
        if key != "status":
            assert panel[key] == value, key


@pytest.mark.parametrize("name", REFUSED)
def test_an_unpressable_case_reports_the_smallest_conflict_and_changes(
    tmp_path: Path, name: str
) -> None:
    code, plan = planned(tmp_path, name)
    expected = CASES[name]["expect"]
    assert (code, plan["status"], plan["panels"]) == (3, "infeasible", [])
    assert len(plan["conflict"]) == expected["conflict_size"]
    assert len(plan["changes"]) >= 1


def test_a_heat_sensitive_cloths_conflict_names_both_limits(tmp_path: Path) -> None:
    _, plan = planned(tmp_path, "C05")
    assert plan["conflict"] == ["fabric.temperature_max=280 F", "name.1.temperature.low=300 F"]
    assert plan["gap"] == {"temperature_f": 20}
    assert any("layer-film" in change for change in plan["changes"])


def test_a_stacks_conflict_is_the_pair_of_rules(tmp_path: Path) -> None:
    _, plan = planned(tmp_path, "C10")
    assert plan["conflict"] == ["number.1.accepts_on_top=no", "number.2.layer=2"]
    assert plan["gap"] == {}
