"""Solved reference cases: scipy's Radau at rtol 1e-8 on a four times finer grid."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kiosk.heat.__main__ import results

CASES = json.loads((Path(__file__).parent / "heat-cases.json").read_text("utf-8"))["cases"]


def allowed(key: str, expected: float) -> float:
    """Return the tolerance: maxima 0.3 K, seconds above a temperature 0.3 s, times 1.5 %."""
    return 0.015 * abs(expected) if key.startswith("t_") else 0.3


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_the_results_match_a_reference_case(case: dict[str, Any]) -> None:
    found = results(case)
    for key, expected in case["expected"].items():
        if expected is None:
            assert found[key] is None, key
        else:
            assert found[key] == pytest.approx(expected, abs=allowed(key, expected)), key


def test_the_copy_matches_the_supplied_file() -> None:
    shared = Path(__file__).resolve().parents[3] / "shared" / "examples" / "heat-cases.json"
    if not shared.exists():
        pytest.skip("the file that this is a copy of is not beside this checkout")
    assert json.loads(shared.read_text("utf-8"))["cases"] == CASES
