"""The content of one recipes folder."""

from collections.abc import Mapping
from dataclasses import field

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import house
from kiosk.catalog.model.house import Database, Policy, StationSettings
from kiosk.catalog.model.recipes import Recipe
from kiosk.catalog.model.rules import Code, Packs, SizeRule, Sport, Stock
from kiosk.catalog.model.sheets import Fabric, Material, Press


@dataclass(frozen=True, slots=True)
class Catalog:
    """Everything read from one recipes folder; `stock` is None if the shop does not count it.

    `faulty` holds, by kind, the keys of entries with faults (None: the file could not be read),
    so that references to them are not reported as unknown. `headings` maps customers' headings
    in lower case to the field they mean, `unused` for none.
    """

    materials: Mapping[str, Material]
    fabrics: Mapping[str, Fabric]
    presses: Mapping[str, Press]
    policy: Policy
    station: StationSettings
    recipes: Mapping[str, Recipe]
    codes: Mapping[str, Code] = field(default_factory=dict)
    packs: Packs = field(default_factory=Packs)
    stock: tuple[Stock, ...] | None = None
    size_rules: Mapping[str, SizeRule] = field(default_factory=dict)
    sign_off: Mapping[str, house.SignOffRule] = field(default_factory=dict)
    sports: Mapping[str, Sport] = field(default_factory=dict)
    faulty: Mapping[str, frozenset[str] | None] = field(default_factory=dict)
    headings: Mapping[str, str] = field(default_factory=dict)
    database: Database = field(default_factory=Database)

    def keys_of(self, kind: str) -> frozenset[str] | None:
        """Return the keys of a `kind` (presses, recipes …), faulty entries included.

        None if its file could not be read.
        """
        faulty = self.faulty.get(kind, frozenset())
        return None if faulty is None else faulty | frozenset(getattr(self, kind))
