"""What the stack is made of, as data that a shop may change.

Assumed unless a source stands beside it; thicknesses pressed and open.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType

from kiosk.catalog.model import Body as Body
from kiosk.catalog.model import Carrier as Carrier
from kiosk.catalog.model import Cloth as Cloth
from kiosk.catalog.model import OwnBody
from kiosk.heat.stack import Layer


def layer(body: Body, cells: int, ratio: float = 1.0) -> Layer:
    """Return `body` as a layer of so many cells, growing downward by `ratio`."""
    return Layer(
        body.kg_per_square_metre * body.joules_per_kg_kelvin,
        body.mm_pressed / 1000 / body.conductivity_pressed,
        body.mm_open / 1000 / body.conductivity_open,
        cells,
        ratio,
    )


def own(body: Body, changed: OwnBody | None) -> Body:
    """Return `body` with what the shop knows better."""
    if changed is None:
        return body
    known = {f.name: value for f in fields(changed) if (value := getattr(changed, f.name))}
    return replace(body, **known)


def _sheet(mm: float, conductivity: float, kg: float, heat: float) -> Body:
    return Body(mm, mm, conductivity, conductivity, kg, heat)


SHEET = _sheet(0.13, 0.25, 0.270, 1000)  # PTFE-glass
FILM = _sheet(0.10, 0.19, 0.118, 1850)  # polyurethane with glue; TPU table: .19 W/mK, 1.85 J/gK
PAD = _sheet(9, 0.090, 3.42, 1300)  # silicone foam
LOWER_PLATEN = _sheet(12, 200, 32.4, 900)  # aluminium
CARRIERS: Mapping[Carrier, Body] = MappingProxyType(
    {
        Carrier.PET: _sheet(0.10, 0.155, 0.139, 1172),  # generic PET film bulletin
        Carrier.PAPER: _sheet(0.10, 0.10, 0.090, 1400),  # release paper
    }
)
CLOTHS: Mapping[Cloth, Body] = MappingProxyType(
    {
        Cloth.LIGHT: Body(0.35, 0.55, 0.075, 0.050, 0.150, 1250),  # polyester knit
        Cloth.HEAVY: Body(0.55, 0.90, 0.090, 0.060, 0.240, 1340),  # cotton jersey, dry
    }
)
CONTACTS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "sheet": (2000.0, 200.0),  # the sheet on whatever is under it
        "carrier|film": (5000.0, 5000.0),
        "film|film": (3000.0, 3000.0),
        "film|cloth": (1500.0, 1500.0),
        "cloth|cloth": (800.0, 100.0),
        "cloth|pad": (800.0, 200.0),
        "pad|lower": (500.0, 500.0),
    }
)


@dataclass(frozen=True, slots=True)
class Properties:
    """All bodies, contacts in W/m2K as (pressed, open), and the faces to the air.

    `platen` is the closed platen's contact; the free convection factors are in W/m2K^1.25;
    `overhead` is the share of a garment's view that the open hot platen fills.
    """

    sheet: Body = SHEET
    film: Body = FILM
    pad: Body = PAD
    lower: Body = LOWER_PLATEN
    carriers: Mapping[Carrier, Body] = field(default_factory=lambda: CARRIERS)
    cloths: Mapping[Cloth, Body] = field(default_factory=lambda: CLOTHS)
    contacts: Mapping[str, tuple[float, float]] = field(default_factory=lambda: CONTACTS)
    platen: float = 1500.0
    emissivity: float = 0.9
    free_up: float = 2.6
    free_down: float = 1.3
    free_hanging: float = 2.05
    waved_metres_per_second: float = 2.0
    overhead: float = 0.0


PROPERTIES = Properties()
