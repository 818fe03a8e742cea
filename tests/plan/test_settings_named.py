"""The limits that one final breaks at a given setting, at their edges (design.md section 4).

The cloth takes 15 s up to 300 F and 10 s above it; the press may be 5 F off.
"""

from __future__ import annotations

import pytest
from settings_samples import NAME, cap, cloth, film, press, recipe

from kiosk.catalog.model.house import Policy
from kiosk.plan.settings import TrialFinal

CLOTH = cloth(dwell_max=(cap("0 F", "300 F", 15), cap("301 F", "320 F", 10)))
FILM = film(window=(280, 318, 290), seconds=(8, 16, 10))


def broken(temperature: int, seconds: int, guard: bool = True) -> list[tuple[str, bool]]:
    """Return the keys of the limits broken, and whether only the margin breaks them."""
    (panel,) = recipe((NAME,)).panels
    trial = TrialFinal(panel, CLOTH, press(), Policy(guard_fabric=guard), {FILM.key: FILM})
    return [(each.limit.key, each.margin) for each in trial.broken(temperature, seconds)]


@pytest.mark.parametrize(
    ("temperature", "seconds", "keys"),
    [
        (295, 15, []),  # 300 F at most: 15 s are allowed there
        (296, 10, []),
        (296, 11, [("dwell_max", True)]),  # 301 F if the press is off
        (300, 15, [("dwell_max", True)]),
        (300, 16, [("dwell_max", False)]),
        (301, 11, [("dwell_max", False)]),
        (315, 10, []),
        (316, 10, [("temperature_max", True)]),
        (280, 8, []),
        (279, 8, [("temperature.low", False)]),
        (280, 7, [("dwell.low", False)]),
    ],
)
def test_each_limit_breaks_just_beyond_its_edge(
    temperature: int, seconds: int, keys: list[tuple[str, bool]]
) -> None:
    assert broken(temperature, seconds) == keys


def test_without_the_guard_the_margin_breaks_nothing() -> None:
    assert broken(296, 11, guard=False) == []
    assert broken(316, 10, guard=False) == []
