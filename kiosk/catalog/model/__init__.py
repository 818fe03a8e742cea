"""The shop's materials, fabrics, presses, recipes, rules and orders, as values."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.model.catalog import Catalog
    from kiosk.catalog.model.house import (
        FAMILIES, LANGUAGES, PROPOSED, QUIZ_LOOKS_BACK, Approver, Body, Carrier, Cloth, Database,
        Demand, OwnBody, Policy, PressPart, Range, SignOffRule, StationSettings, Thresholds,
        rule_of,
    )
    from kiosk.catalog.model.orders import (
        BY_CODE, YOUTH_STEPS, Job, RosterColumn, RosterLine, SizeClass, bare_step, size_named,
        size_rank,
    )
    from kiosk.catalog.model.recipes import (
        MOST_LAYERS, Element, Layer, Panel, Recipe, colours_of, materials_of, recoloured, refilmed,
    )
    from kiosk.catalog.model.rules import (
        ANY, Pack, Packs, SizeLimit, SizeRule, SpareRule, Sport, SportPlace, Stock, same_height,
    )
    from kiosk.catalog.model.sheets import (
        GROUNDS, DwellBand, DwellCap, DyeRisk, Fabric, Material, Peel, PeelBand, Press, SheetRule,
        Surface, Tack, covered_ranges,
    )
    from kiosk.catalog.model.source import (
        ALL_GUESSED, GUESS, Source, SourceKind, Sources, source_in_words, yaml_text,
    )

__getattr__ = face(__name__)
