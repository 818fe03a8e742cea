"""The reference on hand-made cases: stacks and several closings, computed on paper."""

from __future__ import annotations

from typing import Any

from made_up_sheets import (
    BOTH,
    NAME,
    answer,
    at,
    band,
    cloth,
    film,
    one_panel,
    peel_band,
    pressed,
    sheet,
    tack,
)
from settings_reference import reference_solve
from sheets_from_json import Json, element, press, recipe

from kiosk.catalog.model.house import Policy

STACK = element("number", "film", "film")
HOTTER = at(301, 320, 310, "hot", dwell=(8, 12, 10))
COOLER = at(260, 279, 270, "hot", dwell=(8, 12, 10))


def of_dwell(*dwell: int) -> Json:
    low, high, normal = dwell
    return at(280, 300, 290, "hot", dwell=(low, high, normal))


def brief(panel: dict[str, Any]) -> list[tuple[str, str, int, int]]:
    return [
        (c["purpose"], " ".join(c["elements"]), c["temperature"], c["dwell_s"])
        for c in panel["closings"]
    ]


def sheets(panel: dict[str, Any]) -> list[bool]:
    return [closing["cover_sheet"] for closing in panel["closings"]]


def test_a_stack_is_tacked_layer_by_layer_and_one_layer_pieces_join_the_final() -> None:
    panel = pressed((element("name", "film"), STACK), film("film"))
    assert brief(panel) == [
        ("tack", "number.1", 290, 2),
        ("tack", "number.2", 290, 2),
        ("final", "name.1 number.1 number.2", 290, 10),
    ]
    assert panel["closings"][-1]["peel"] == {"name.1": "hot"}
    assert panel["element_heat_s"] == {"name.1": 10, "number.1": 14, "number.2": 12}
    assert panel["fabric_heat_s"] == 19


def test_a_lower_stack_is_heated_in_the_third_tack_of_a_taller_one() -> None:
    high = element("name", "film", "film", "film")
    panel = pressed((high, STACK), film("film"))
    assert [c["elements"] for c in panel["closings"][:3]] == [
        ["name.1", "number.1"],
        ["name.2", "number.2"],
        ["name.3"],
    ]
    assert panel["closings"][2]["heated"] == ["name.1", "name.2", "name.3", "number.1", "number.2"]


def test_a_tack_longer_than_three_seconds_needs_the_sheet_on_bare_film() -> None:
    slow = film("film", tack=tack(4, 5, 4, "hot"))
    assert sheets(pressed((STACK,), film("film"))) == [False, False, True]
    assert sheets(pressed((STACK,), slow)) == [False, True, True]


def test_a_shop_can_require_the_sheet_for_short_tacks_too() -> None:
    panel = pressed((STACK,), film("film"), policy=Policy(bare_tack=False))
    assert sheets(panel) == [False, True, True]


def test_a_tack_is_shortened_to_3_s_if_the_carrier_forbids_the_sheet() -> None:
    shy = film("film", tack=tack(2, 5, 5, "hot"), **sheet("forbidden", "required"))
    panel = pressed((STACK,), shy)
    assert [c["dwell_s"] for c in panel["closings"]] == [5, 3, 10]
    assert sheets(panel) == [False, False, True]


def test_tacks_get_shorter_if_the_final_has_too_few_seconds() -> None:
    """5 pre-press + 2 + 2 + 8 would be 17: the last tack gives way first."""
    panel = pressed((STACK,), film("film"), on=cloth(total_heat="16 s"))
    assert [c["dwell_s"] for c in panel["closings"]] == [2, 1, 8]


def test_usable_dwells_exclude_the_time_of_the_tacks() -> None:
    """5 pre-press and 2 + 2 s of tacks leave 11 of 20 s."""
    panel = pressed((STACK,), film("film"), on=cloth(total_heat="20 s"))
    assert panel["usable"] == [{"temperature": [280, 300], "dwell_s": [8, 11]}]


def test_an_earlier_dwell_gives_way_to_a_later_closing() -> None:
    """5 + 10 leave 7 of 22, but the second needs 8, so the first takes 9."""
    panel = pressed(BOTH, film("film"), film("other", **HOTTER), on=cloth(total_heat="22 s"))
    assert [c["dwell_s"] for c in panel["closings"]] == [9, 8]
    assert panel["fabric_heat_s"] == 22


def test_an_earlier_temperature_gives_way_if_a_shorter_dwell_is_not_enough() -> None:
    """The name lies under the platen again at 301 F, so its total is what runs short.

    Below 285 F the film needs 8 s, from there 12 s: with 17 s in all only the cooler band leaves
    the later final its 8 s.
    """
    banded = film(
        "film",
        temperature={"low": "280 F", "high": "320 F", "normal": "290 F"},
        dwell=[
            {"from": "280 F", "to": "284 F", "low": "8 s", "high": "12 s", "normal": "10 s"},
            {"from": "285 F", "to": "300 F", "low": "12 s", "high": "12 s", "normal": "12 s"},
        ],
        peel=[peel_band(280, 320, "hot")],
        total_heat="17 s",
    )
    other = film(
        "other", **at(310, 320, 310, "cold", dwell=(8, 12, 10)), **sheet("optional", "no_press")
    )
    panel = pressed(BOTH, banded, other, on=cloth(temperature_max="340 F"))
    assert [(c["temperature"], c["dwell_s"]) for c in panel["closings"]] == [(284, 9), (310, 8)]


def test_the_order_with_the_smallest_rise_is_preferred() -> None:
    wide = film("film", **at(280, 320, 290, "hot", dwell=(13, 15, 13)))
    panel = pressed(BOTH, wide, film("other", **HOTTER))
    assert [(c["elements"], c["temperature"]) for c in panel["closings"]] == [
        (["number.1"], 310),
        (["name.1"], 310),
    ]
    assert panel["warnings"] == []


def test_a_passenger_is_not_heated_above_its_high() -> None:
    """The hotter one's bare face must not be pressed again, so the cooler one would go first."""
    last = film("other", **HOTTER, **sheet("optional", "no_press"))
    assert answer(BOTH, film("film"), last)["status"] == "infeasible"


def test_a_passenger_is_not_pressed_above_its_high() -> None:
    soft = film("film", pressure={"low": "medium", "high": "medium"})
    firm = film("other", **of_dwell(13, 15, 13), pressure={"low": "medium", "high": "firm"})
    panel = pressed(BOTH, soft, firm)
    assert panel["closings"][1]["elements"] == ["number.1"]
    assert panel["closings"][1]["pressure"] == ["medium", "medium"]


def test_a_passenger_is_heated_by_the_tacks_of_a_later_stack() -> None:
    films = film("film", **of_dwell(13, 15, 13)), film("other")
    panel = pressed((NAME, element("number", "other", "other")), *films)
    assert panel["element_heat_s"] == {"name.1": 13 + 2 + 2 + 10, "number.1": 14, "number.2": 12}


def test_the_hotter_window_is_pressed_first() -> None:
    panel = pressed(BOTH, film("film"), film("other", **COOLER))
    assert [c["elements"] for c in panel["closings"]] == [["name.1"], ["number.1"]]
    assert panel["warnings"] == ["temp_change_in_batch"]
    assert [c["heated"] for c in panel["closings"]] == [["name.1"], ["name.1", "number.1"]]


def test_a_smaller_rise_is_preferred_to_a_shorter_wait() -> None:
    """Cold at 295 F, then hot at 285 F: a wait but no rise."""
    cold = film("film", **at(280, 300, 295, "cold", dwell=(13, 15, 13)))
    hot = film("other", **at(280, 300, 285, "hot", dwell=(8, 12, 10)))
    panel = pressed(BOTH, cold, hot, policy=Policy(keep_setting=False))
    assert [c["elements"] for c in panel["closings"]] == [["name.1"], ["number.1"]]
    assert panel["warnings"] == ["peel_before_next_closing", "temp_change_in_batch"]


def test_a_warm_peel_before_the_next_closing_gives_a_warning() -> None:
    warm = film("film", **at(301, 320, 310, "warm", dwell=(8, 12, 10)))
    panel = pressed(BOTH, warm, film("other"))
    assert panel["warnings"] == ["peel_before_next_closing", "temp_change_in_batch"]


def test_earlier_dwells_give_way_before_earlier_temperatures() -> None:
    """5 + 10 + 11 + 13 are 2 over 37 s. The second could save 5 at 289 F, but seconds go first."""
    three = (*BOTH, element("badge", "third"))
    panel = pressed(
        three,
        film("film", **of_dwell(8, 10, 10)),
        film("other", dwell=[band(280, 289, 6, 7, 6), band(290, 300, 11, 12, 11)]),
        film("third", **of_dwell(13, 14, 13)),
        on=cloth(total_heat="37 s"),
        policy=Policy(max_closings=3),
    )
    assert [(c["temperature"], c["dwell_s"]) for c in panel["closings"]] == [
        (290, 8),
        (290, 11),
        (290, 13),
    ]


def test_a_shorter_wait_is_preferred_to_the_recipes_order() -> None:
    """They differ only in dwell, both at 290 F: the hot peel goes first."""
    cold = film("film", **at(280, 300, 290, "cold", dwell=(13, 15, 13)))
    panel = pressed(BOTH, cold, film("other"))
    assert [c["elements"] for c in panel["closings"]] == [["number.1"], ["name.1"]]
    assert panel["warnings"] == []


def test_a_bare_passenger_that_requires_the_sheet_gets_it() -> None:
    panel = pressed(BOTH, film("film"), film("other", **COOLER))
    assert sheets(panel) == [False, True]


def test_a_raised_face_is_pressed_last() -> None:
    raised = film("film", **sheet("optional", "no_press"))
    panel = pressed(BOTH, raised, film("other", **at(280, 300, 290, "hot", dwell=(13, 15, 13))))
    assert [c["elements"] for c in panel["closings"]] == [["number.1"], ["name.1"]]


def test_more_closings_with_the_margin_are_preferred_to_fewer_without() -> None:
    """With 5 F of margin 300 F exceeds the cloth's 300 F; two closings at 280 F do not."""
    warm = film("film", **at(270, 300, 280, "hot", dwell=(8, 10, 8)))
    slow = film("other", **at(270, 300, 280, "hot", dwell=(12, 14, 12)))
    quick = {"from": "299 F", "to": "300 F", "low": "8 s", "high": "14 s", "normal": "9 s"}
    banded = film(
        "film",
        **{
            **at(270, 300, 280, "hot", dwell=(8, 10, 8)),
            "dwell": [
                {"from": "270 F", "to": "298 F", "low": "8 s", "high": "10 s", "normal": "8 s"},
                quick,
            ],
        },
    )
    limit = cloth(temperature_max="300 F")
    assert len(pressed(BOTH, warm, slow, on=limit)["closings"]) == 2
    panel = pressed(BOTH, banded, slow, on=limit)
    assert len(panel["closings"]) == 2
    assert panel["warnings"] == []
    tight = pressed(BOTH, banded, slow, on=limit, policy=Policy(max_closings=1))
    assert tight["warnings"] == ["narrow_window", "no_fabric_margin"]


def test_a_later_panel_starts_at_the_previous_panels_setting() -> None:
    found = reference_solve(
        recipe(("front", (element("name", "film"),)), ("back", (element("number", "other"),))),
        cloth(),
        press("285 F", "5 F"),
        Policy(),
        {"film": film("film"), "other": film("other", **HOTTER)},
    )
    front, back = found["panels"]
    assert (front["setting_change"], back["setting_change"]) == (0, 25)


def test_the_first_failing_panel_is_named() -> None:
    found = reference_solve(
        recipe(("front", (element("name", "film"),)), ("back", (element("number", "other"),))),
        cloth(temperature_max="300 F"),
        press("285 F", "5 F"),
        Policy(),
        {"film": film("film"), "other": film("other", **HOTTER)},
    )
    assert found["panel"] == "back"
    assert found["conflict"] == ["number.1.temperature.low=301 F", "fabric.temperature_max=300 F"]
    assert found["gap"] == {"temperature_f": 1}


def test_a_recipe_with_one_panel_has_a_back() -> None:
    assert one_panel(STACK).panels[0].name == "back"
    assert answer((STACK,), film("film"))["status"] == "ok"
