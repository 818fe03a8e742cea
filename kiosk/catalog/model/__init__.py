"""What the shop owns and knows, as values."""

# fmt: off
from kiosk.catalog.model.heat import PROPOSED, Body, Carrier, Cloth, OwnBody, Thresholds
from kiosk.catalog.model.house import (
    FAMILIES,
    QUIZ_LOOKS_BACK,
    Approver,
    Demand,
    Part,
    SignOffRule,
    rule_of,
)
from kiosk.catalog.model.orders import BY_CODE, SizeClass, size_named
from kiosk.catalog.model.rules import (
    ANY,
    Pack,
    Packs,
    Place,
    SizeLimit,
    SizeRule,
    SpareRule,
    Sport,
    Stock,
    same_height,
)
from kiosk.catalog.model.sheets import (
    Catalog,
    DwellBand,
    DwellCap,
    DyeRisk,
    Element,
    Fabric,
    Job,
    Layer,
    Material,
    Panel,
    Peel,
    PeelBand,
    Policy,
    Press,
    Recipe,
    RosterColumn,
    RosterLine,
    SheetRule,
    StationSettings,
    Surface,
    Tack,
)
from kiosk.catalog.model.source import ALL_GUESSED, GUESS, Source, SourceKind, Sources, source_told

__all__ = [
    "ALL_GUESSED", "ANY", "BY_CODE", "FAMILIES", "GUESS", "PROPOSED", "QUIZ_LOOKS_BACK", "Approver",
    "Body", "Carrier", "Catalog", "Cloth", "Demand", "DwellBand", "DwellCap", "DyeRisk", "Element",
    "Fabric", "Job", "Layer", "Material", "OwnBody", "Pack", "Packs", "Panel", "Part", "Peel",
    "PeelBand", "Place", "Policy", "Press", "Recipe", "RosterColumn", "RosterLine", "SheetRule",
    "SignOffRule", "SizeClass", "SizeLimit", "SizeRule", "Source", "SourceKind", "Sources",
    "SpareRule", "Sport", "StationSettings", "Stock", "Surface", "Tack", "Thresholds", "rule_of",
    "same_height", "size_named", "source_told",
]
