"""`kiosk plan`: the contract of its JSON, its text, its exit codes, its speed."""

from __future__ import annotations

import json
import math
import re
import subprocess
import sys
from pathlib import Path
from statistics import quantiles
from typing import Any

import pytest
from command_line import ROOT, kiosk, process
from shop_folders import BENCH, FILM, KNIT, NAMES, write_shop

from kiosk.log.facts.shifts import cycles
from kiosk.log.store.store import Store

ONE_DEGREE = {
    **FILM,
    "temperature": {"low": "300 F", "high": "300 F", "normal": "300 F"},
    "dwell": [{"from": "300 F", "to": "300 F", "low": "15 s", "high": "15 s", "normal": "15 s"}],
    "peel": [{"from": "300 F", "to": "300 F", "allowed": ["hot"]}],
}
KEYS = [
    "status",
    "panels",
    "conflict",
    "gap",
    "changes",
    "steps",
    "taps_per_garment",
    "picks",
    "minutes",
    "heat",
    "sources",
]
STACK = {
    "title": "Two layers",
    "panels": [
        {
            "panel": "back",
            "elements": [
                {
                    "element": "number",
                    "layers": [
                        {"material": "film", "colour": "black"},
                        {"material": "film", "colour": "white"},
                    ],
                }
            ],
        }
    ],
}
LAYER = {"material": "film", "colour": "red"}
TWO_PANELS = {
    "title": "Back and front",
    "panels": [
        {
            "panel": panel,
            "elements": [{"element": "number", "layers": [{"material": "film", "colour": "red"}]}],
        }
        for panel in ("back", "front")
    ],
}
COLD_SHOP = {"presses": {"heron": {**BENCH, "set_temperature": "140 C", "tolerance": "3 C"}}}
TOO_COOL = {"knit": {**KNIT, "temperature_max": "200 F"}}


def planned(job: list[str], *more: str) -> Any:
    return json.loads(kiosk("plan", *job, "--json", *more).out)


def test_the_json_has_exactly_the_contracts_keys(tmp_path: Path) -> None:
    assert list(planned(write_shop(tmp_path))) == KEYS
    refused = planned(write_shop(tmp_path / "other", fabrics=TOO_COOL))
    assert list(refused) == KEYS


def test_steps_are_in_pressing_order_over_all_passes(tmp_path: Path) -> None:
    steps = planned(write_shop(tmp_path, recipe=TWO_PANELS))["steps"]
    one = ["load", "pre-press", "lay layer", "final press", "peel", "inspect"]
    assert [step["phase"] for step in steps] == one * 2
    assert [step["panel"] for step in steps] == ["back"] * 6 + ["front"] * 6


def test_only_timed_steps_advance_by_the_clock(tmp_path: Path) -> None:
    steps = planned(write_shop(tmp_path, recipe=STACK))["steps"]
    timed = [(s["phase"], s["seconds"]) for s in steps if s["advance"] == "clock"]
    assert timed == [("pre-press", 5), ("tack", 2), ("tack", 2), ("final press", 15)]
    assert {s["seconds"] for s in steps if s["advance"] == "tap"} == {None}


@pytest.mark.parametrize(("recipe", "taps"), [(None, 3), (STACK, 5)])
def test_one_layer_takes_three_taps_and_a_stack_five(
    tmp_path: Path, recipe: Any, taps: int
) -> None:
    assert planned(write_shop(tmp_path, recipe=recipe))["taps_per_garment"] == taps


def test_a_press_in_celsius_adds_whole_celsius_degrees(tmp_path: Path) -> None:
    plan = planned(write_shop(tmp_path, shop=COLD_SHOP))
    final = plan["panels"][0]["closings"][-1]
    assert (final["temperature_c"], final["temperature_f"]) == (140, 284)  # 140 × 1.8 + 32
    span = plan["panels"][0]["usable"][0]
    # 260 and 300 °F are 126.67 and 148.89 °C; back from whole degrees 260.6 and 300.2 °F
    assert span["temperature_c"] == [127, 149]
    assert span["temperature_f"] == [261, 300]


def test_a_press_in_fahrenheit_adds_no_celsius(tmp_path: Path) -> None:
    assert "temperature_c" not in kiosk("plan", *write_shop(tmp_path), "--json").out


def test_a_setting_change_is_a_signed_difference(tmp_path: Path) -> None:
    hotter = {"presses": {"heron": {**BENCH, "set_temperature": "160 C", "tolerance": "3 C"}}}
    panel = planned(write_shop(tmp_path, shop=hotter))["panels"][0]
    change = panel["closings"][0]["temperature_c"] - 160
    assert change < 0
    assert panel["setting_change_f"] == round(change * 1.8)


def test_changes_from_normal_name_the_value_before_and_after(tmp_path: Path) -> None:
    panel = planned(write_shop(tmp_path))["panels"][0]
    assert panel["changed_from_normal"] == [
        "name.1 temperature 280 F -> 300 F",
        "number.1 temperature 280 F -> 300 F",
    ]


def test_picks_count_garments_by_size_and_pieces_by_character(tmp_path: Path) -> None:
    picks = planned(write_shop(tmp_path))["picks"]
    assert picks["garments"] == {"AL": 1, "YM": 1, "AS": 1}
    adult = [g for g in picks["pieces"] if g["element"] == "number" and g["height_in"] == 10]
    assert adult[0]["characters"] == {"0": 2, "1": 1, "3": 1}
    assert adult[0]["count"] == 4


def test_minutes_are_a_range_of_whole_minutes(tmp_path: Path) -> None:
    low, high = planned(write_shop(tmp_path))["minutes"]
    assert 0 <= low <= high
    assert isinstance(low, int)


def test_a_side_without_anything_to_press_takes_no_time(tmp_path: Path) -> None:
    """As long as with a recipe without that side."""
    sides = [
        {"panel": panel, "elements": [{"element": each, "layers": [dict(LAYER)]}]}
        for panel, each in (("back", "name"), ("front", "number"))
    ]
    roster = "line,size,name,number\n" + "".join(f"{n},AL,KOVA,\n" for n in range(1, 31))
    took = [
        planned(write_shop(tmp_path / str(nth), recipe=recipe, roster=roster))["minutes"]
        for nth, recipe in enumerate(
            ({"title": "Both", "panels": sides}, {"title": "Back", "panels": sides[:1]})
        )
    ]
    assert took[0] == took[1]


@pytest.mark.parametrize("form", [["--json"], []])
def test_no_name_is_printed_unless_asked_for(tmp_path: Path, form: list[str]) -> None:
    job = write_shop(tmp_path)
    quiet, result = kiosk("plan", *job, *form), kiosk("plan", *job, *form, "--names")
    for name in NAMES:
        assert name not in quiet.out + quiet.err
        assert name in result.out


def test_the_text_shows_settings_steps_taps_and_time(tmp_path: Path) -> None:
    result = kiosk("plan", *write_shop(tmp_path))
    assert result.code == 0
    for part in ("Press at 300 °F", "Peel hot: name, number", "once signed off: 3", "minutes"):
        assert part in result.out


def test_a_job_that_cannot_be_pressed_exits_with_3_and_the_reason_on_stdout(tmp_path: Path) -> None:
    result = kiosk("plan", *write_shop(tmp_path, fabrics=TOO_COOL))
    assert result.code == 3
    assert "fabric.temperature_max=200 F" in result.out
    assert result.err == ""


def test_faults_exit_with_1_and_are_all_on_stderr(tmp_path: Path) -> None:
    broken = {"film": {**FILM, "carier": True, "total_heat": "60 min"}}
    result = kiosk("plan", *write_shop(tmp_path, materials=broken), "--json")
    assert (result.code, result.out) == (1, "")
    assert "carier" in result.err
    assert "60 min" in result.err


def test_a_missing_job_exits_with_1(tmp_path: Path) -> None:
    _, *recipes = write_shop(tmp_path)
    result = kiosk("plan", "lanturns-of-nowhere", *recipes)
    assert result.code == 1
    assert "lanturns-of-nowhere" in result.err


def test_wrong_usage_exits_with_2() -> None:
    assert kiosk("plan").code == 2
    assert kiosk("press").code == 2
    assert kiosk().code == 2


@pytest.mark.parametrize("how", ["folder", "yaml"])
def test_a_job_can_be_named_by_its_folder_or_its_yaml_file(tmp_path: Path, how: str) -> None:
    folder, *recipes = write_shop(tmp_path)
    name = folder if how == "folder" else str(Path(folder) / "job.yaml")
    assert kiosk("plan", name, *recipes).code == 0


def test_a_job_can_be_named_by_its_folder_name_in_shared_jobs() -> None:
    assert process("plan", "raft-polo", "--json").code == 0


def test_planning_never_loads_the_window_or_the_log() -> None:
    code = (
        "import sys; from kiosk.__main__ import main; main(['plan', 'raft-polo', '--json']);"
        "print([m for m in ('kivy', 'sqlite3', 'kiosk.run') if m in sys.modules],"
        "file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stderr.strip() == "[]"


# -- the shop's own record ----------------------------------------------------


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a record of simulated garments, enough to measure the shop's own cycle times."""
    log = tmp_path_factory.mktemp("record") / "made.sqlite3"
    done = kiosk("simulate", "raft-polo", "--garments", "14", "--log", str(log))
    assert done.code == 0, done.err
    return log


def test_the_minutes_come_from_the_shops_record_and_the_text_says_so(record: Path) -> None:
    result = kiosk("plan", "raft-polo", "--log", str(record))
    assert result.code == 0
    assert re.search(r"from this shop's record: middle half of 1\d garments", result.out)
    assert "common practice" not in result.out
    with Store.read_only(record) as store:
        (seconds,) = cycles(store).values()
    plain, own = (planned(["raft-polo"], *more)["minutes"] for more in ((), ("--log", str(record))))
    garments = len((ROOT / "shared/jobs/raft-polo/roster.csv").read_text("utf-8").splitlines()) - 1
    quick, _, slow = quantiles(seconds, n=4, method="inclusive")
    assert own == [math.floor(garments * quick / 60), math.ceil(garments * slow / 60)]
    assert own != plain


def test_another_procedure_is_estimated_from_typical_handling_times(record: Path) -> None:
    result = kiosk("plan", "swim-school", "--log", str(record))
    assert "typical handling times" in result.out


def test_an_unreadable_record_given_as_an_option_is_a_fault(tmp_path: Path) -> None:
    none, text = tmp_path / "none.sqlite3", tmp_path / "text.sqlite3"
    text.write_text("no record")
    for log in (none, text):
        result = kiosk("plan", "raft-polo", "--log", str(log))
        assert result.code == 1
        assert log.name in result.err
    assert not none.exists()


def test_a_single_degree_or_second_is_no_range_and_sizes_are_sorted(tmp_path: Path) -> None:
    job = write_shop(tmp_path, materials={"film": ONE_DEGREE})
    result = kiosk("plan", *job)
    assert "usable: 300 °F with 15 s\n" in result.out
    assert "3 garments: 1 YM, 1 AS, 1 AL\n" in result.out  # the roster has AL first
