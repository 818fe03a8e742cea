"""The settings compared, on random sheets, with a slow reference that tries everything.

KIOSK_REFERENCE_EXAMPLES=20000 tries more, with new sheets each time.
"""

from __future__ import annotations

import os
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from made_up_sheets import BOTH, NAME, NUMBER, at, band, cloth, film, job, peel_band, sheet, window
from random_sheets import Job, jobs
from settings_reference import reference_solve
from sheets_from_json import Json, element, press

from kiosk.catalog.model.house import Policy
from kiosk.plan.model import Closing, PanelRefusal, PanelSettings, PlatenPart
from kiosk.plan.settings import solve

MANY = "KIOSK_REFERENCE_EXAMPLES"
EXAMPLES = int(os.environ.get(MANY, "2000"))


def as_reference(answer: tuple[PanelSettings, ...] | PanelRefusal) -> dict[str, Any]:
    """Return the solver's answer in the reference's form."""
    if isinstance(answer, PanelRefusal):
        return {
            "status": "infeasible",
            "panel": answer.panel,
            "conflict": [str(limit) for limit in answer.conflict],
            "gap": dict(answer.gap),
        }
    return {"status": "ok", "panels": [as_panel(panel) for panel in answer]}


def as_panel(panel: PanelSettings) -> dict[str, Any]:
    return {
        "panel": panel.panel,
        "closings": [as_closing(closing) for closing in panel.closings],
        "usable": [
            {
                "temperature": [span.temperature_low, span.temperature_high],
                "dwell_s": [span.dwell_low, span.dwell_high],
            }
            for span in panel.usable
        ],
        "element_heat_s": dict(panel.element_heat_seconds),
        "fabric_heat_s": panel.fabric_heat_seconds,
        "setting_change": panel.setting_change,
        "warnings": list(panel.warnings),
    }


def as_closing(closing: Closing) -> dict[str, Any]:
    return {
        "group": closing.group,
        "purpose": closing.purpose.value,
        "elements": list(closing.pieces),
        "heated": sorted(closing.heated),
        "temperature": closing.temperature,
        "dwell_s": closing.dwell_seconds,
        "pressure": [closing.pressure_low.word, closing.pressure_high.word],
        "cover_sheet": closing.cover_sheet,
        "peel": {piece: peel.word for piece, peel in closing.peel.items()},
    }


def of_one_band(normal: int, peel: str, *dwell: int) -> Json:
    low, high, usual = dwell
    return at(280, 300, normal, peel, dwell=(low, high, usual))


def up_to(start: int, end: int, most: int) -> Json:
    return {"from": f"{start} F", "to": f"{end} F", "at_most": f"{most} s"}


THREE = (*BOTH, element("badge", "third"))
RARE = {
    "a tie around the normal": job(
        (NAME,), film("film", dwell=[band(280, 289, 8, 12, 10), band(291, 300, 8, 12, 10)])
    ),
    "less rise against less waiting": job(
        BOTH,
        film("film", **of_one_band(295, "cold", 13, 15, 13)),
        film("other", **of_one_band(285, "hot", 8, 12, 8)),
        policy=Policy(keep_setting=False),
    ),
    "seconds of the first of three give way before the temperature of the second": job(
        THREE,
        film("film", **of_one_band(290, "hot", 8, 10, 10)),
        film("other", dwell=[band(280, 289, 6, 7, 6), band(290, 300, 11, 12, 11)]),
        film("third", **of_one_band(290, "hot", 13, 14, 13)),
        on=cloth(total_heat="37 s"),
        policy=Policy(max_closings=3),
    ),
    "more seconds are no giving way, though they would turn a later temperature": job(
        THREE,
        film("film", **at(278, 280, 278, "hot", dwell=(2, 2, 2))),
        film(
            "other",
            temperature=window(284, 288, 286),
            dwell=[band(284, 284, 3, 3, 3), band(285, 288, 6, 6, 6)],
            peel=[peel_band(284, 288, "hot")],
        ),
        film("third", **at(290, 292, 290, "hot", dwell=(4, 9, 8))),
        on=cloth(total_heat="19 s"),
        policy=Policy(max_closings=3),
    ),
    "one piece lets dye through": job(
        BOTH, film("film", blocks_dye=True), film("other"), on=cloth(dye_cap="287 F")
    ),
    "one element alone shares a carrier": job(
        (element("name", "film", shared_carrier=True), NUMBER),
        film("film", **of_one_band(290, "hot", 8, 12, 10)),
        film("other", **of_one_band(290, "cold", 8, 12, 10)),
    ),
    "two bands of a cloth meet at 143 C": job(
        (NAME,),
        film("film"),
        on=cloth(dwell_max=[up_to(0, 289, 20), up_to(290, 320, 9)]),
        bench=press("143 C", "0 C"),
    ),
    "a cooler cloth bears longer": job(
        (NAME,),
        film("film", dwell=[band(280, 300, 15, 20, 15)]),
        on=cloth(dwell_max=[up_to(0, 275, 20), up_to(276, 320, 12)]),
    ),
    "a cloth's seconds and a total are equally short": job(
        (NAME,), film("film", total_heat="6 s"), on=cloth(dwell_max=[up_to(0, 320, 6)])
    ),
    "a peel is stated where no seconds are": job(
        (NAME,), film("film", dwell=[band(290, 290, 8, 12, 10)], peel=[peel_band(280, 289, "hot")])
    ),
    "a temperature gives way": job(
        BOTH,
        film("film", dwell=[band(280, 284, 8, 12, 10), band(285, 300, 12, 12, 12)]),
        film("other", **of_one_band(290, "hot", 13, 15, 13), **sheet("optional", "no_press")),
        on=cloth(total_heat="27 s"),
    ),
}
"""Jobs that random sheets seldom produce."""


@pytest.mark.parametrize("rare", RARE.values(), ids=RARE)
def test_settings_of_a_rare_job_match_an_exhaustive_search(rare: Job) -> None:
    assert as_reference(solve(*rare)) == reference_solve(*rare)


KEPT = settings(
    derandomize=MANY not in os.environ,
    database=None,
    phases=[Phase.explicit, Phase.generate, Phase.shrink],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@settings(KEPT, max_examples=EXAMPLES)
@given(jobs())
def test_settings_match_an_exhaustive_search(made_up: Job) -> None:
    assert as_reference(solve(*made_up)) == reference_solve(*made_up)


def cut(data: st.DataObject, names: list[str]) -> tuple[PlatenPart, ...]:
    """Draw one to three parts of a panel, in any order, with elements under the platen again."""
    names = data.draw(st.permutations(names))
    ends = sorted({*data.draw(st.sets(st.integers(1, len(names)))), len(names)})
    parts = []
    for n, (start, end) in enumerate(zip([0, *ends], ends, strict=False), 1):
        again = data.draw(st.sets(st.sampled_from(names[:start]))) if start else set()
        elements = tuple(names[start:end])
        parts.append(PlatenPart(n, len(ends), elements, {}, tuple(sorted(again))))
    return tuple(parts)


@pytest.mark.parametrize(("allowed", "status"), [(2, "infeasible"), (3, "ok")])
def test_closings_unused_by_one_part_are_not_given_to_another(allowed: int, status: str) -> None:
    """docs/decisions.md: `max_closings` counts for each part. The first part needs three."""
    films = [
        film(key, **at(low, low + 4, low, "hot", dwell=(3, 9, 5)))
        for key, low in (("film", 295), ("other", 285), ("third", 275))
    ]
    five = (*THREE, element("crest", "third"), element("sleeve", "third"))
    task = job(five, *films, policy=Policy(max_closings=allowed))
    parts = {
        "back": (
            PlatenPart(1, 2, ("name", "number", "badge"), {}),
            PlatenPart(2, 2, ("crest", "sleeve"), {}),
        )
    }
    found = as_reference(solve(*task, parts=parts))
    expected = reference_solve(*task, parts)
    assert found["status"] == status
    assert {key: found[key] for key in expected} == expected


@settings(KEPT, max_examples=max(EXAMPLES // 10, 1))
@given(jobs(), st.data())
def test_settings_of_a_panel_in_parts_match_an_exhaustive_search(
    made_up: Job, data: st.DataObject
) -> None:
    """docs/decisions.md: parts follow each other, and what is off the platen is no passenger."""
    panels = made_up[0].panels
    parts = {p.name: cut(data, [element.name for element in p.elements]) for p in panels}
    found = as_reference(solve(*made_up, parts=parts))
    expected = reference_solve(*made_up, parts)
    assert {key: found[key] for key in expected} == expected
