"""Reads what a shop tells the heat model: peel temperatures, substances, the press's pad."""

from __future__ import annotations

from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Degrees, Temperature
from kiosk.catalog.base.spots import Fields, Spot
from kiosk.catalog.base.values import in_order, one_of, quantity, temperature
from kiosk.catalog.model.heat import (
    PROPOSED,
    UNTOLD,
    Carrier,
    Cloth,
    FabricHeat,
    MaterialHeat,
    OwnBody,
    PressHeat,
    Thresholds,
)

CARRIERS = {c.value: c for c in Carrier}
CLOTHS = {c.value: c for c in Cloth}
# Key, unit, and what lies far beyond any layer of a press: a slip of the keyboard.
THICKNESS = ("mm", 0.01, 60)
CONDUCTIVITY = ("W/mK", 0.005, 500)
FLAT = {
    "thickness": THICKNESS,
    "conductivity": CONDUCTIVITY,
    "weight": ("g/m2", 1, 100_000),
    "capacity": ("J/kgK", 100, 5_000),
}
OPEN = {"open_thickness": THICKNESS, "open_conductivity": CONDUCTIVITY}
WIDEST_VIEW = ("%", 0, 90)
AIM_SHARE = 0.6  # of the way from `from` down to `to`: 50 °C between 65 and 40
GRAMS = 1000


def peel_at(spot: Spot) -> Thresholds:
    """Return the bond's temperatures for this material's peels; what is not written stays."""
    f = spot.fields((), ("hot", "warm", "cold"))
    if not f.entries:
        raise spot.wrong(say("catalog.asked.something"))
    usual = PROPOSED
    hot = f.get_or("hot", _celsius, usual.hot_until)
    cold = f.get_or("cold", _celsius, usual.cold_at)
    proposed = (usual.warm_from, usual.warm_aim, usual.warm_until)
    warm_from, aim, warm_until = f.get_or("warm", _warm, proposed).value
    return Thresholds(hot.value, warm_from, aim, warm_until, cold.value)


def material_heat(spot: Spot) -> MaterialHeat:
    """Return a material's carrier (pet, paper) and what is known better of its film."""
    f = spot.fields((), ("carrier", "film"))
    carrier = f.get_or("carrier", one_of(CARRIERS), Carrier.PET)
    nothing: OwnBody | None = None
    film = f.get_or("film", _flat, nothing)
    return MaterialHeat(carrier.value, film.value)


def fabric_heat(spot: Spot) -> FabricHeat:
    """Return which cloth of the model a fabric is like (light, heavy), and how it differs."""
    f = spot.fields(("cloth",), (*FLAT, *OPEN))
    cloth = f.get("cloth", one_of(CLOTHS))
    return FabricHeat(cloth.value, _body(f, "open_"))


def press_heat(spot: Spot) -> PressHeat:
    """Return the pad, the view that the open platen fills, and the room's temperature."""
    f = spot.fields((), ("pad", "overhead", "room"))
    pad = f.get_or("pad", _flat, UNTOLD.pad)
    overhead = f.get_or("overhead", quantity(*WIDEST_VIEW), UNTOLD.overhead * 100)
    room = f.get_or("room", _celsius, UNTOLD.room)
    return PressHeat(pad.value, overhead.value / 100, room.value)


def _flat(spot: Spot) -> OwnBody:
    """A layer that pressing does not thin."""
    f = spot.fields((), tuple(FLAT))
    if not f.entries:
        raise spot.wrong(say("catalog.asked.something"))
    return _body(f, "")


def _body(f: Fields, opened: str) -> OwnBody:
    """What is written of a layer; `opened` begins the keys of its values under no pressure."""
    nothing: float | None = None
    got = {key: f.get_or(key, quantity(*limits), nothing) for key, limits in (FLAT | OPEN).items()}
    grams = got["weight"].value
    return OwnBody(
        mm_pressed=got["thickness"].value,
        mm_open=got[f"{opened}thickness"].value,
        conductivity_pressed=got["conductivity"].value,
        conductivity_open=got[f"{opened}conductivity"].value,
        kg_per_square_metre=None if grams is None else grams / GRAMS,
        joules_per_kg_kelvin=got["capacity"].value,
    )


def _warm(spot: Spot) -> tuple[float, float, float]:
    """From, aim and to in °C; where no aim is written it lies where the proposed one does."""
    f = spot.fields(("from", "to"), ("aim",))
    start, end = f.get("from", temperature).value, f.get("to", temperature).value
    if "aim" not in f.entries:
        in_order(spot, ("to", end), ("from", start))
        first, last = _in_celsius(start), _in_celsius(end)
        return first, first - AIM_SHARE * (first - last), last
    aim = f.get("aim", temperature).value
    in_order(spot, ("to", end), ("aim", aim), ("from", start))
    return _in_celsius(start), _in_celsius(aim), _in_celsius(end)


def _celsius(spot: Spot) -> float:
    return _in_celsius(temperature(spot))


def _in_celsius(written: Temperature) -> float:
    return round(float(written.exact_in(Degrees.C)), 3)
