"""A plain film, cloth and press, to vary one limit at a time: made-up test data, not advice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.house import Policy
from kiosk.catalog.model.recipes import Element, Layer, Panel, Recipe
from kiosk.catalog.model.sheets import (
    DwellBand,
    DwellCap,
    DyeRisk,
    Fabric,
    Material,
    Peel,
    PeelBand,
    Press,
    SheetRule,
    Surface,
    Tack,
    TemperatureWindow,
)
from kiosk.catalog.model.source import ALL_GUESSED
from kiosk.plan.model import Closing, PanelRefusal, PanelSettings, Purpose
from kiosk.plan.settings import solve
from kiosk.words import Words

T, S = amounts.temperature, amounts.seconds
SAY = Words()


def dwell(start: str, end: str, low: int, high: int, normal: int) -> DwellBand:
    return DwellBand(T(start), T(end), S(f"{low} s"), S(f"{high} s"), S(f"{normal} s"))


def peel(start: str, end: str, *words: str) -> PeelBand:
    return PeelBand(T(start), T(end), peels(*words))


def peels(*words: str) -> frozenset[Peel]:
    return frozenset(Peel[word.upper()] for word in words)


def tack(low: int, high: int, normal: int, *words: str) -> Tack:
    return Tack(S(f"{low} s"), S(f"{high} s"), S(f"{normal} s"), peels(*(words or ("hot",))))


def film(
    key: str = "film",
    window: tuple[int, int, int] = (280, 300, 290),
    seconds: tuple[int, int, int] = (8, 12, 10),
    peeled: Sequence[str] = ("hot", "warm"),
    **other: Any,
) -> Material:
    """Return a film with the same seconds and peels over its whole window in °F."""
    low, high, normal = (f"{degree} F" for degree in window)
    plain = Material(
        key=key,
        title=key,
        temperature=TemperatureWindow(T(low), T(high), T(normal)),
        dwell=(dwell(low, high, *seconds),),
        pressure_low=Pressure.MEDIUM,
        pressure_high=Pressure.MEDIUM_FIRM,
        peel=(peel(low, high, *peeled),),
        sheet_carrier_on=SheetRule.OPTIONAL,
        sheet_carrier_off=SheetRule.REQUIRED,
        carrier=True,
        tack=tack(1, 3, 2),
        surface=Surface.SMOOTH,
        goes_on=frozenset({"fabric", "smooth"}),
        accepts_on_top=True,
        total_heat=S("60 s"),
        blocks_dye=False,
        peel_wait={},
        source=ALL_GUESSED,
    )
    return replace(plain, **other)


def cloth(highest: str = "320 F", at_most: int = 20, total: int = 60, **other: Any) -> Fabric:
    plain = Fabric(
        key="cloth",
        title="cloth",
        temperature_max=T(highest),
        dwell_max=(cap(f"0 {highest[-1]}", highest, at_most),),
        total_heat=S(f"{total} s"),
        pressure_max=Pressure.FIRM,
        dye_risk=DyeRisk.NONE,
        dye_cap=None,
        pre_press=S("5 s"),
    )
    return replace(plain, **other)


def cap(start: str, end: str, at_most: int) -> DwellCap:
    return DwellCap(T(start), T(end), S(f"{at_most} s"))


def press(setting: str = "290 F", tolerance: str = "5 F") -> Press:
    return Press(
        key="press-one",
        set_temperature=T(setting),
        tolerance=amounts.step(tolerance),
        opens_itself=True,
        collar_toward_operator=True,
        platen_width=amounts.length("16 in"),
        platen_height=amounts.length("20 in"),
        closes_in=S("1 s"),
    )


def element(name: str, *materials: str, shared_carrier: bool = False) -> Element:
    return Element(name, tuple(Layer(key, "black") for key in materials), shared_carrier)


NAME, NUMBER = element("name", "film"), element("number", "other")
BOTH = (NAME, NUMBER)
STACK = element("number", "film", "other")


def recipe(*panels: Sequence[Element]) -> Recipe:
    names = ("back", "front", "left-sleeve")
    built = tuple(Panel(names[n], tuple(elements)) for n, elements in enumerate(panels))
    return Recipe("made-up", "made up", built)


def answer(
    elements: Sequence[Element],
    *films: Material,
    on: Fabric | None = None,
    bench: Press | None = None,
    policy: Policy | None = None,
    fabrics: Mapping[str, Fabric] | None = None,
) -> tuple[PanelSettings, ...] | PanelRefusal:
    """Solve one panel; by default the press is set to 290 F, with a tolerance of 5 F."""
    return solve(
        recipe(elements),
        on or cloth(),
        bench or press(),
        policy or Policy(),
        {sheet.key: sheet for sheet in films},
        fabrics or {},
    )


def pressed(elements: Sequence[Element], *films: Material, **bench: Any) -> PanelSettings:
    """Return the settings of one panel that can be pressed."""
    found = answer(elements, *films, **bench)
    assert not isinstance(found, PanelRefusal), found
    (panel,) = found
    return panel


def refused(elements: Sequence[Element], *films: Material, **bench: Any) -> PanelRefusal:
    """Return the refusal of one panel that cannot be pressed."""
    found = answer(elements, *films, **bench)
    assert isinstance(found, PanelRefusal), found
    return found


def final(panel: PanelSettings) -> Closing:
    """Return the panel's only final."""
    (found,) = finals(panel)
    return found


def finals(panel: PanelSettings) -> list[Closing]:
    return [closing for closing in panel.closings if closing.purpose is Purpose.FINAL]


def tacks(panel: PanelSettings) -> list[Closing]:
    return [closing for closing in panel.closings if closing.purpose is Purpose.TACK]


def chosen(panel: PanelSettings) -> list[tuple[str, int, int]]:
    """Return each closing as its pieces, temperature and seconds."""
    return [(" ".join(c.pieces), c.temperature, c.dwell_seconds) for c in panel.closings]


def degrees(panel: PanelSettings) -> list[tuple[int, int]]:
    """Return the spans of usable temperatures."""
    return [(span.temperature_low, span.temperature_high) for span in panel.usable]


def limits(refusal: PanelRefusal) -> list[str]:
    return [str(limit) for limit in refusal.conflict]


def offers(refusal: PanelRefusal) -> list[str]:
    """Return the changes in English."""
    return [SAY.say(change) for change in refusal.changes]
