"""Reads what the heat model is told by a sheet: carrier, film, cloth, pad, peel temperatures."""

from kiosk.catalog.base import LEFT_OUT, Asked, Degrees, Field, Spot, Table, Temperature, rising
from kiosk.catalog.base.values import OneOf, quantity, temperature
from kiosk.catalog.model.heat import (
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
AIM_SHARE = 0.6  # of the way from `from` down to `to`: 50 °C between 65 and 40
GRAMS = 1000


def _celsius(spot: Spot) -> float:
    return _in_celsius(temperature(spot))


def _in_celsius(written: Temperature) -> float:
    return round(float(written.exact_in(Degrees.C)), 3)


def _kilograms(spot: Spot) -> float:
    return quantity("g/m2", 1, 100_000)(spot) / GRAMS


def _share(spot: Spot) -> float:
    return quantity("%", 0, 90)(spot) / 100


def _aims(start: float, end: float, aim: float | None = None) -> tuple[float, float, float]:
    """From, aim and to; where no aim is written it lies where the proposed one does."""
    return start, start - AIM_SHARE * (start - end) if aim is None else aim, end


# Units, and what lies far beyond any layer of a press: a slip of the keyboard.
_thickness, _conductivity = quantity("mm", 0.01, 60), quantity("W/mK", 0.005, 500)
FLAT = (
    Field("thickness", _thickness, LEFT_OUT, "mm_pressed"),
    Field("conductivity", _conductivity, LEFT_OUT, "conductivity_pressed"),
    Field("weight", _kilograms, LEFT_OUT, "kg_per_square_metre"),
    Field("capacity", quantity("J/kgK", 100, 5_000), LEFT_OUT, "joules_per_kg_kelvin"),
)
OPEN = (
    Field("open_thickness", _thickness, LEFT_OUT, "mm_open"),
    Field("open_conductivity", _conductivity, LEFT_OUT, "conductivity_open"),
)


def _flat_body(**body: float) -> OwnBody:
    """A layer that pressing does not thin."""
    thick, conducts = body.get("mm_pressed"), body.get("conductivity_pressed")
    return OwnBody(mm_open=thick, conductivity_open=conducts, **body)


def _fabric_heat(cloth: Cloth, **body: float) -> FabricHeat:
    return FabricHeat(cloth, OwnBody(**body))


_flat = Table(_flat_body, FLAT, some=True)
_warm = Table(
    lambda start, end, aim=None: _aims(*(each and _in_celsius(each) for each in (start, end, aim))),
    (
        Field("from", temperature, into="start"),
        Field("to", temperature, into="end"),
        Field("aim", temperature, LEFT_OUT),
    ),
    (rising("to", "aim", "from"),),
)
peel_at = Table(
    Thresholds,
    (
        Field("hot", _celsius, LEFT_OUT, "hot_until"),
        Field("warm", _warm, LEFT_OUT, "warm_from warm_aim warm_until"),
        Field("cold", _celsius, LEFT_OUT, "cold_at"),
    ),
    some=True,
)
"""The bond's temperatures for a material's peels; what is not written stays as proposed."""
material_heat = Table(
    MaterialHeat, (Field("carrier", OneOf(CARRIERS), LEFT_OUT), Field("film", _flat, LEFT_OUT))
)
fabric_heat = Table(_fabric_heat, (Field("cloth", OneOf(CLOTHS), asked=Asked()), *FLAT, *OPEN))
press_heat = Table(
    PressHeat,
    (
        Field("pad", _flat, LEFT_OUT),
        Field("overhead", _share, LEFT_OUT),
        Field("room", _celsius, LEFT_OUT),
    ),
)
