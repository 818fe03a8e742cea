"""Which changes in a shop's files make a different plan, and how the difference is described."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_samples import F, S, catalog, element, job, material, press

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.orders import Job
from kiosk.catalog.model.recipes import Panel
from kiosk.catalog.model.sheets import Material, Peel, PeelBand
from kiosk.catalog.model.source import Source, SourceKind, Sources
from kiosk.catalog.rules import read_face
from kiosk.plan.brief import FORM, brief_of, differences, file_digests
from kiosk.plan.model import Plan
from kiosk.plan.procedure import plan_job
from kiosk.run.facts import Agreement, agreement
from kiosk.words import Words

BACK = Panel("back", (element("number", "red"),))
FRONT = Panel("front", (element("number", "red"),))


def brief(shop: Catalog, order: Job | None = None) -> dict[str, Any]:
    """Return the brief of a job's plan as another station reads it."""
    order = order or job()
    plan = plan_job(order, shop, read_face())
    assert isinstance(plan, Plan)
    content: dict[str, Any] = json.loads(
        json.dumps(brief_of(plan, file_digests(order, shop).items()))
    )
    return content


def film(**changed: Any) -> Catalog:
    return catalog((BACK,), materials=(replace(material(), **changed),))


def hotter(sheet: Material) -> Material:
    return replace(sheet, temperature=replace(sheet.temperature, low=F("290 F"), normal=F("290 F")))


OURS = brief(catalog((BACK,)))


def lines_about(their_catalog: Catalog, order: Job | None = None) -> list[str]:
    """Return the lines shown for a plan that differs from ours."""
    theirs = brief(their_catalog, order)
    assert agreement(theirs, OURS) is agreement(OURS, theirs) is Agreement.OTHER
    return [Words("en").say(each) for each in differences(theirs, OURS, "north")]


@pytest.mark.parametrize(
    "bench",
    [
        press(set_to="262 F"),
        press(set_to="140 C"),
        press(toward=False),
        replace(press(), platen_height=amounts.length("4 in"), closes_in=S("8 s")),
    ],
    ids=["set to", "scale", "collar", "platen"],
)
def test_a_different_press_does_not_make_a_different_plan(bench: Any) -> None:
    theirs = brief(catalog((BACK,), press=bench))
    assert theirs["pressed"] != OURS["pressed"]
    assert agreement(theirs, OURS) is Agreement.SAME


@pytest.mark.parametrize(
    "changed",
    [
        {"title": "Another name"},
        {"source": Sources(Source(SourceKind.SUPPLIER_SHEET))},  # a trial, or a sheet that arrived
        {"letters": frozenset("AB"), "colour": "red"},
        {"total_heat": S("60.0 s")},
    ],
    ids=["title", "source", "what is bought", "as written"],
)
def test_titles_sources_and_spelling_do_not_make_a_different_plan(changed: Any) -> None:
    bench = press(set_to="262 F")  # so that the `pressed` digests differ
    their_catalog = catalog((BACK,), materials=(replace(material(), **changed),), press=bench)
    assert agreement(brief(their_catalog), OURS) is Agreement.SAME


def test_a_change_without_effect_on_the_garment_does_not_make_a_different_plan() -> None:
    """The film now blocks dye, but nothing on the garment changes."""
    theirs = brief(film(blocks_dye=True))
    assert theirs["files"] != OURS["files"]
    assert agreement(theirs, OURS) is Agreement.SAME


def coloured(order: Job) -> Job:
    return replace(order, colours={"red": "white"})


def test_a_different_setting_is_shown_with_the_file_it_comes_from() -> None:
    their_catalog = catalog((BACK,), materials=(hotter(material()),))
    assert lines_about(their_catalog) == [
        "back, final press: 290 °F · 15 s at north; 280 °F · 15 s here",
        "back, pre-press: 290 °F · 5 s at north; 280 °F · 5 s here",
        "Files that differ: materials.yaml",
    ]


def test_panels_with_the_same_difference_share_a_line() -> None:
    """Listing each closing of a four-panel garment separately would not fit."""
    ours, theirs = (
        brief(catalog((BACK, FRONT), materials=(each,)))
        for each in (material(), hotter(material()))
    )
    lines = [Words("en").say(each) for each in differences(theirs, ours, "north")]
    assert lines == [
        "back, front, final press: 290 °F · 15 s at north; 280 °F · 15 s here",
        "back, front, pre-press: 290 °F · 5 s at north; 280 °F · 5 s here",
        "Files that differ: materials.yaml",
    ]


def test_a_different_pressure_is_shown() -> None:
    lines = lines_about(film(pressure_low=Pressure.MEDIUM_FIRM))
    assert lines[0] == (
        "back, final press: 280 °F · 15 s · medium-firm at north; "
        "280 °F · 15 s · medium to medium-firm here"
    )


def test_a_different_peel_is_shown() -> None:
    cold = (PeelBand(F("260 F"), F("300 F"), frozenset({Peel.COLD})),)
    assert "back: peel cold at north, hot here" in lines_about(film(peel=cold))


def test_a_different_film_or_colour_is_shown() -> None:
    felt = Panel("back", (element("number", "red", key="felt"),))
    their_catalog = catalog((felt,), materials=(material(), material("felt")))
    assert "back, number: felt, red at north; film, red here" in _keys(lines_about(their_catalog))
    lines = lines_about(catalog((BACK,)), coloured(job()))
    assert lines[-1] == "Files that differ: job.yaml"
    assert any("white at north" in line and "red here" in line for line in lines)


def _keys(lines: list[str]) -> list[str]:
    return [line.replace("Film felt", "felt").replace("Film film", "film") for line in lines]


def test_steps_in_only_one_plan_are_shown() -> None:
    their_catalog = catalog((Panel("back", (element("number", "red", "white"),)),))
    lines = lines_about(their_catalog)
    assert any(line.startswith("Steps only at north: ") and "tack" in line for line in lines)
    assert lines[-1] == "Files that differ: r.yaml"


def test_a_different_order_of_panels_is_shown() -> None:
    ours, theirs = brief(catalog((BACK, FRONT))), brief(catalog((FRONT, BACK)))
    lines = [Words("en").say(each) for each in differences(theirs, ours, "north")]
    assert lines == ["The steps are in another order at north", "Files that differ: r.yaml"]


def test_without_other_differences_the_files_are_named() -> None:
    tall = catalog((Panel("back", (element("number", "red", height="6 in"),)),))
    assert lines_about(tall) == ["Files that differ: r.yaml"]
    their_catalog = catalog((BACK,), press=press(set_to="262 F"), policy=Policy(guard_fabric=False))
    assert lines_about(their_catalog)[-1] == "Files that differ: shop.yaml"


def _without_files(content: dict[str, Any]) -> dict[str, Any]:
    return {**content, "files": {}}


def _of_another_form(content: dict[str, Any]) -> dict[str, Any]:
    files = {file: digest.replace(f"{FORM}:", "0:") for file, digest in content["files"].items()}
    return {**content, "files": files}


@pytest.mark.parametrize("change", [_without_files, _of_another_form, lambda _: None])
def test_a_plan_from_another_program_version_cannot_be_compared(
    change: Callable[[dict[str, Any]], dict[str, Any] | None],
) -> None:
    theirs = brief(catalog((BACK,), materials=(hotter(material()),)))
    assert agreement(theirs, OURS) is Agreement.OTHER
    assert agreement(change(theirs), OURS) is Agreement.UNKNOWN
    assert agreement(OURS, change(theirs)) is Agreement.UNKNOWN


def test_the_digests_of_unchanged_files_stay_the_same() -> None:
    """Stations of two versions compare these: if they change, raise FORM, then record them again.

    Computed once by this program; no outside source.
    """
    order, shop = job(), catalog((BACK,))
    digests = {file: digest[:10] for file, digest in file_digests(order, shop).items()}
    assert digests == {
        "job.yaml": "1:1fa195eb",
        "r.yaml": "1:e627f7cb",
        "materials.yaml": "1:f1fcb2af",
        "fabrics.yaml": "1:9f87745b",
        "shop.yaml": "1:393ded6b",
        "placement.yaml": "1:4f53cda1",
    }


JUNK = st.none() | st.booleans() | st.integers(-1, 9) | st.sampled_from(
    ["", "1:x", "2:x", "hot", "final press", "F", [], {}, [[]], [["back", "peel", ["hot"]]]]
)  # fmt: skip


@given(st.data())
def test_a_corrupt_plan_on_the_server_can_still_be_compared(data: st.DataObject) -> None:
    """Any part is missing or replaced, whether by hand or by another program."""
    theirs = copy.deepcopy(SOMEWHERE)
    theirs["pressed"], theirs["files"]["r.yaml"] = "x", "1:x"  # a different plan
    for _ in range(data.draw(st.integers(1, 3))):
        theirs = spoilt(data, theirs)
    found = agreement(theirs, OURS)
    assert found is agreement(OURS, theirs)
    if found is Agreement.OTHER:
        for words in (Words("en"), Words("es")):
            assert all(words.say(each) for each in differences(theirs, OURS, "north"))


def spoilt(data: st.DataObject, value: Any) -> Any:
    """Replace or remove one part of a JSON value."""
    if not isinstance(value, dict | list) or not value or data.draw(st.integers(0, 3)) == 0:
        return copy.deepcopy(data.draw(JUNK))
    keys = list(value) if isinstance(value, dict) else list(range(len(value)))
    key = data.draw(st.sampled_from(keys))
    if data.draw(st.integers(0, 5)) == 0:
        del value[key]
    else:
        value[key] = spoilt(data, value[key])
    return value


SOMEWHERE = brief(catalog((BACK, FRONT), materials=(hotter(material()),)))
