"""The settings against a slow reference that tries everything, on random sheets.

KIOSK_REFERENCE_EXAMPLES=20000 tries more of them, each time others.
"""

from __future__ import annotations

import os
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from random_sheets import Job, jobs
from settings_reference import reference_solve

from kiosk.plan.model import Closing, PanelSettings, Refusal
from kiosk.plan.settings import solve

MANY = "KIOSK_REFERENCE_EXAMPLES"
EXAMPLES = int(os.environ.get(MANY, "2000"))


def as_reference(answer: tuple[PanelSettings, ...] | Refusal) -> dict[str, Any]:
    """The solver's answer in the shape of the reference's."""
    if isinstance(answer, Refusal):
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


@settings(
    max_examples=EXAMPLES,
    derandomize=MANY not in os.environ,
    database=None,
    deadline=None,
    phases=[Phase.explicit, Phase.generate, Phase.shrink],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(jobs())
def test_settings_are_those_that_trying_everything_finds(job: Job) -> None:
    assert as_reference(solve(*job)) == reference_solve(*job)
