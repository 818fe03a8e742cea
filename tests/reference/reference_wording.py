"""Limits by owner and key: their order, their text, and the stack rules of a recipe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from reference_rules import FABRIC, Part, World

from kiosk.catalog.model.sheets import Material, Peel

Limit = tuple[str, str]
POLICY = "policy"


def limits_in_order(world: World, parts: Sequence[Part]) -> list[Limit]:
    """Return all limits in the order of the rules, then of the recipe."""
    names = [part.name for part in parts]
    fabric = world.fabric
    rules: list[tuple[Sequence[str], Sequence[str]]] = [
        (names, ("temperature.low", "temperature.high")),
        ((FABRIC,), ("temperature_max",)),
        ((FABRIC,), ("dye_cap",) if fabric.dye_cap else ()),
        (names, ("dwell.low", "dwell.high", "tack.low", "tack.high")),
        ((FABRIC,), ("dwell_max",)),
        (names, ("total_heat",)),
        ((FABRIC,), ("total_heat",)),
        (names, ("pressure.low", "pressure.high")),
        ((FABRIC,), ("pressure_max",)),
        (names, ("peel", "tack.peel")),
        ((POLICY,), ("staged_peel",)),
        (names, ("cover_sheet.carrier_on", "cover_sheet.carrier_off")),
        ((POLICY,), ("bare_tack",)),
    ]
    return [(owner, key) for owners, keys in rules for owner in owners for key in keys]


def written(world: World, parts: Sequence[Part], limit: Limit) -> str:
    """Return `<owner>.<key path>=<as in the file>`."""
    owner, key = limit
    if owner == FABRIC:
        value = fabric_value(world, key)
    elif owner == POLICY:
        value = "no"
    else:
        material = next(part.material for part in parts if part.name == owner)
        value = material_value(material, key)
    return f"{owner}.{key}={value}"


def fabric_value(world: World, key: str) -> str:
    fabric = world.fabric
    if key == "dwell_max":
        return ", ".join(cap.at_most.text for cap in fabric.dwell_max)
    if key == "pressure_max":
        return fabric.pressure_max.word
    quantity = {
        "temperature_max": fabric.temperature_max,
        "dye_cap": fabric.dye_cap,
        "total_heat": fabric.total_heat,
    }[key]
    assert quantity is not None
    return quantity.text


def material_value(m: Material, key: str) -> str:
    tack = m.tack
    return {
        "temperature.low": m.temperature.low.text,
        "temperature.high": m.temperature.high.text,
        "dwell.low": ", ".join(band.low.text for band in m.dwell),
        "dwell.high": ", ".join(band.high.text for band in m.dwell),
        "tack.low": tack.low.text if tack else "",
        "tack.high": tack.high.text if tack else "",
        "tack.peel": peel_words(tack.peel) if tack else "",
        "total_heat": m.total_heat.text,
        "pressure.low": m.pressure_low.word,
        "pressure.high": m.pressure_high.word,
        "peel": ", ".join(peel_words(band.allowed) for band in m.peel),
        "cover_sheet.carrier_on": m.sheet_carrier_on.value,
        "cover_sheet.carrier_off": m.sheet_carrier_off.value,
    }[key]


def peel_words(peels: frozenset[Peel]) -> str:
    return ", ".join(peel.word for peel in sorted(peels))


def structure_conflict(elements: Sequence[tuple[Part, ...]]) -> list[str]:
    """Return the first failing stack rule as its pair of limits: by rule, then by recipe."""
    for rule in (accepts_on_top, surface_goes, fabric_goes, has_tack, has_carrier):
        for element in elements:
            for below, above in neighbours(element):
                pair = rule(below, above)
                if pair:
                    return pair
    return []


def neighbours(element: tuple[Part, ...]) -> Iterator[tuple[Part | None, Part]]:
    below: Part | None = None
    for part in element:
        yield below, part
        below = part


def layer(part: Part) -> str:
    return f"{part.name}.layer={part.layer}"


def accepts_on_top(below: Part | None, above: Part) -> list[str]:
    if below is None or below.material.accepts_on_top:
        return []
    return [f"{below.name}.accepts_on_top=no", layer(above)]


def surface_goes(below: Part | None, above: Part) -> list[str]:
    if below is None or below.material.surface.value in above.material.goes_on:
        return []
    return [f"{below.name}.surface={below.material.surface.value}", goes_on(above)]


def fabric_goes(below: Part | None, above: Part) -> list[str]:
    if below is not None or "fabric" in above.material.goes_on:
        return []
    return [layer(above), goes_on(above)]


def goes_on(part: Part) -> str:
    return f"{part.name}.goes_on={', '.join(sorted(part.material.goes_on))}"


def has_tack(_: Part | None, part: Part) -> list[str]:
    if part.layers == 1 or part.material.tack is not None:
        return []
    return [f"{part.name}.tack=null", stacked(part)]


def has_carrier(_: Part | None, part: Part) -> list[str]:
    if part.layers == 1 or part.material.carrier:
        return []
    return [f"{part.name}.carrier=no", stacked(part)]


def stacked(part: Part) -> str:
    """Return what makes the piece part of a stack: its own layer, or the one above the lowest."""
    return f"{part.element}.{max(part.layer, 2)}.layer={max(part.layer, 2)}"
