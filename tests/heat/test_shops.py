"""Made-up shops from a seed; `python tests/heat/shops.py` runs them for longer."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from shops import TRIALS, figures, run_shops

from kiosk.heat.__main__ import main

LISTS = '{"cases": [{"id": "1", "room_C": 23, "layers": []}]}'
SHOPS, GARMENTS, SEED = 120, 105, 20260


@pytest.mark.parametrize(
    "name", ["lifted_warm", "lifted_warm_every_peel_called_good", "lifted_cold"]
)
def test_shops_learn_from_five_observations_and_do_not_drift(name: str) -> None:
    found = figures(run_shops(TRIALS[name], SHOPS, GARMENTS, random.Random(SEED)))
    assert 9 <= found["error_uncalibrated_percent"] <= 17
    assert found["error_after_five_percent"] <= 9
    assert found["error_after_all_percent"] <= 9.5
    assert abs(found["drift_percent"]) <= 2
    for when in ("uncalibrated", "after_five", "after_all"):
        assert 75 <= found[f"range_covers_{when}_percent"] <= 95


def test_a_pad_is_learned_separately_from_a_wider_prior() -> None:
    found = figures(run_shops(TRIALS["pad_warm"], SHOPS, 20, random.Random(SEED)))
    assert abs(found["drift_percent"]) <= 2
    assert 75 <= found["range_covers_after_five_percent"] <= 95
    assert found["error_after_five_percent"] <= found["error_uncalibrated_percent"]


COVERED = {
    "lifted_warm": "after touches",
    "lifted_cold": "of a cold peel",
    "ready_by_only": "with one-sided taps only",
    "one_in_ten_wrong": "with one moment in ten told wrong",
}


@pytest.mark.parametrize("name", COVERED, ids=list(COVERED.values()))
def test_the_80_percent_range_covers_75_to_90_percent_of_900_shops(name: str) -> None:
    """The next garment's true time compared with the range after none, five and twenty garments."""
    found = figures(run_shops(TRIALS[name], 900, 20, random.Random(SEED)))
    for when in ("uncalibrated", "after_five", "after_all"):
        assert 75 <= found[f"range_covers_{when}_percent"] <= 90, found


@pytest.mark.parametrize("wrong", [[], ["--help"], ["a", "b"]])
def test_wrong_usage_prints_the_usage_and_exits_with_2(
    wrong: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(wrong) == 2
    assert "usage:" in capsys.readouterr().err


def test_the_command_solves_a_file_of_cases(capsys: pytest.CaptureFixture[str]) -> None:
    file = Path(__file__).parent / "heat-cases.json"
    assert main([str(file)]) == 0
    printed = json.loads(capsys.readouterr().out)
    expected = {
        case["id"]: case["expected"] for case in json.loads(file.read_text("utf-8"))["cases"]
    }
    assert {key: set(value) for key, value in printed.items()} == {
        key: set(value) for key, value in expected.items()
    }


@pytest.mark.parametrize(
    ("missing", "message"),
    [
        ("stack", "case 7: stages 1: there is no stack"),
        ("top", "case 7: stages 1: there is no top"),
    ],
)
def test_a_missing_key_is_named_with_its_case(
    tmp_path: Path, missing: str, message: str, capsys: pytest.CaptureFixture[str]
) -> None:
    case = json.loads((Path(__file__).parent / "heat-cases.json").read_text("utf-8"))["cases"][0]
    del case["stages"][0][missing]
    file = tmp_path / "cases.json"
    file.write_text(json.dumps({"cases": [case | {"id": "7"}]}), "utf-8")
    assert main([str(file)]) == 1
    assert capsys.readouterr().err == f"{file}: {message}\n"


@pytest.mark.parametrize("text", ["no json", "[]", '{"cases": [{}]}', '{"cases": [1]}', LISTS])
def test_a_file_of_the_wrong_form_exits_with_1(
    tmp_path: Path, text: str, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "cases.json"
    file.write_text(text, "utf-8")
    assert main([str(file)]) == 1
    assert main([str(tmp_path / "none.json")]) == 1
    assert "cases.json" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("stages", 0, "duration_s"), -1.0),
        (("stages", 0, "duration_s"), float("nan")),
        (("stages", 5, "duration_s"), float("inf")),
        (("stages", 5, "duration_s"), 1e9),
        (("bond", 1), "no such layer"),
        (("layers", "fab1", "C"), 0.0),
        (("layers", "fab1", "R_open"), -0.1),
    ],
)
def test_an_impossible_case_exits_with_1(
    tmp_path: Path, path: tuple[Any, ...], value: object, capsys: pytest.CaptureFixture[str]
) -> None:
    """If silently solved, each of these would give a meaningless figure."""
    file = Path(__file__).parent / "heat-cases.json"
    case = json.loads(file.read_text("utf-8"))["cases"][0]
    *keys, last = path
    part = case
    for key in keys:
        part = part[key]
    part[last] = value
    changed = tmp_path / "cases.json"
    changed.write_text(json.dumps({"cases": [case]}), "utf-8")
    assert main([str(changed)]) == 1
    assert str(path[-1] if path[0] != "bond" else value) in capsys.readouterr().err
