"""Made-up materials, cloths and settings for the tests of the plan room."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.catalog.base import quantities as amounts
from kiosk.catalog.base.quantities import Pressure
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.model.house import Policy, StationSettings
from kiosk.catalog.model.orders import Job, RosterLine
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
    Wait,
)
from kiosk.catalog.model.source import Source, SourceKind, Sources
from kiosk.plan.model import Closing, PanelSettings, Plan, Purpose
from kiosk.plan.procedure import make_plan

F, S = amounts.temperature, amounts.seconds

TRIED = Sources(Source(SourceKind.SHOP_TRIAL))


def material(
    key: str = "film",
    *,
    tack: bool = True,
    carrier: bool = True,
    waits: Mapping[Peel, tuple[str, str]] | None = None,
    bare: SheetRule = SheetRule.REQUIRED,
    source: Sources = TRIED,
) -> Material:
    """Return a film: 260 to 300 °F, normally 280, 10 to 20 s; a tack of 1 to 3 s."""
    return Material(
        key=key,
        title=f"Film {key}",
        temperature=TemperatureWindow(F("260 F"), F("300 F"), F("280 F")),
        dwell=(DwellBand(F("260 F"), F("300 F"), S("10 s"), S("20 s"), S("15 s")),),
        pressure_low=Pressure.MEDIUM,
        pressure_high=Pressure.MEDIUM_FIRM,
        peel=(PeelBand(F("260 F"), F("300 F"), frozenset(Peel)),),
        sheet_carrier_on=SheetRule.OPTIONAL,
        sheet_carrier_off=bare,
        carrier=carrier,
        tack=Tack(S("1 s"), S("3 s"), S("2 s"), frozenset({Peel.HOT})) if tack else None,
        surface=Surface.SMOOTH,
        goes_on=frozenset({"fabric", "smooth"}),
        accepts_on_top=True,
        total_heat=S("60 s"),
        blocks_dye=False,
        peel_wait={p: Wait(S(a), S(b)) for p, (a, b) in (waits or {}).items()},
        source=source,
    )


def fabric(*, pre_press: str = "5 s", at_most: str = "18 s", total: str = "60 s") -> Fabric:
    return Fabric(
        key="knit",
        title="Plain knit",
        temperature_max=F("320 F"),
        dwell_max=(DwellCap(F("0 F"), F("320 F"), S(at_most)),),
        total_heat=S(total),
        pressure_max=Pressure.FIRM,
        dye_risk=DyeRisk.NONE,
        dye_cap=None,
        pre_press=S(pre_press),
    )


def press(*, toward: bool = True, set_to: str = "280 F") -> Press:
    return Press(
        key="press-one",
        set_temperature=F(set_to),
        tolerance=amounts.step("5 F"),
        opens_itself=True,
        collar_toward_operator=toward,
        platen_width=amounts.length("16 in"),
        platen_height=amounts.length("20 in"),
        closes_in=S("1 s"),
    )


def element(name: str, *colours: str, key: str = "film", height: str | None = None) -> Element:
    return Element(
        name,
        tuple(Layer(key, colour) for colour in colours),
        height=None if height is None else amounts.length(height),
    )


def closing(
    *pieces: str,
    purpose: Purpose = Purpose.FINAL,
    group: int = 0,
    temperature: int = 280,
    dwell: int = 15,
    sheet: bool = False,
    peel: Mapping[str, Peel] | None = None,
    heated: tuple[str, ...] | None = None,
    pressure: tuple[Pressure, Pressure] = (Pressure.MEDIUM, Pressure.MEDIUM_FIRM),
) -> Closing:
    return Closing(
        purpose=purpose,
        group=group,
        pieces=tuple(sorted(pieces)),
        heated=tuple(sorted(heated or pieces)),
        temperature=temperature,
        dwell_seconds=dwell,
        pressure_low=pressure[0],
        pressure_high=pressure[1],
        cover_sheet=sheet,
        peel=dict(peel or {}),
    )


def tack(*pieces: str, heated: tuple[str, ...] | None = None, sheet: bool = False) -> Closing:
    hot = dict.fromkeys(pieces, Peel.HOT)
    return closing(*pieces, purpose=Purpose.TACK, dwell=2, sheet=sheet, peel=hot, heated=heated)


def settings(
    *closings: Closing, panel: str = "back", change: int = 0, pre_press: int = 5
) -> PanelSettings:
    heat: dict[str, int] = {}
    for each in closings:
        for piece in each.heated:
            heat[piece] = heat.get(piece, 0) + each.dwell_seconds
    return PanelSettings(
        panel=panel,
        unit=F("0 F").unit,
        closings=closings,
        usable=(),
        element_heat_seconds=heat,
        fabric_heat_seconds=pre_press + sum(c.dwell_seconds for c in closings),
        setting_change=change,
        warnings=(),
        changed_from_normal=(),
    )


def catalog(panels: tuple[Panel, ...], **parts: object) -> Catalog:
    """Return a catalog with one recipe; optional `materials`, `fabric`, `press`, `policy`."""
    sheets = parts.get("materials", (material(),))
    cloth, bench = parts.get("fabric", fabric()), parts.get("press", press())
    policy = parts.get("policy", Policy())
    assert isinstance(sheets, tuple)
    assert isinstance(cloth, Fabric)
    assert isinstance(bench, Press)
    assert isinstance(policy, Policy)
    return Catalog(
        materials={each.key: each for each in sheets},
        fabrics={cloth.key: cloth},
        presses={bench.key: bench},
        policy=policy,
        station=StationSettings(),
        recipes={"r": Recipe("r", "A recipe", panels)},
    )


ROSTER = (
    RosterLine("1", "AL", "KOVA", "31"),
    RosterLine("2", "YM", "Peña Ruiz", "13"),
    RosterLine("3", "AS", "", "00"),
)


def job(roster: tuple[RosterLine, ...] = ROSTER) -> Job:
    return Job("ferry", "", "Ferry order, away", "r", "knit", "press-one", roster, "digest")


def plan_of(*all_settings: PanelSettings, panels: tuple[Panel, ...], **parts: object) -> Plan:
    return make_plan(job(), catalog(panels, **parts), all_settings)


def stack_plan(**parts: object) -> Plan:
    """Return the plan of a two-colour name and number: the commonest stack."""
    both = ("name.1", "number.1")
    top = ("name.2", "number.2")
    back = Panel("back", (element("name", "black", "white"), element("number", "black", "white")))
    return plan_of(
        settings(tack(*both), tack(*top, heated=both + top), closing(*both, *top, sheet=True)),
        panels=(back,),
        **parts,
    )


def single_plan(
    peel: Peel | None = Peel.HOT, sheet: bool = False, pre_press: int = 5, **parts: object
) -> Plan:
    """Return the plan of a one-layer name and number."""
    pieces = ("name.1", "number.1")
    back = Panel("back", (element("name", "red"), element("number", "red")))
    peels = {} if peel is None else dict.fromkeys(pieces, peel)
    return plan_of(
        settings(closing(*pieces, sheet=sheet, peel=peels), pre_press=pre_press),
        panels=(back,),
        **parts,
    )
