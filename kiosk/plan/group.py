"""One closing group of one panel with everything its steps are made from; families of passes."""

from collections.abc import Iterable, Mapping

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import (
    FAMILIES,
    Fabric,
    Layer,
    Material,
    Panel,
    Press,
    SheetRule,
    covered_ranges,
)
from kiosk.plan.model import LAYING, Closing, PanelSettings, Pass, Phase, Plan, PlatenPart, Purpose


def elements_of(pieces: Iterable[str]) -> tuple[str, ...]:
    """Return the elements of pieces, each once, in order: `name.1` gives `name`."""
    return tuple(dict.fromkeys(piece.rpartition(".")[0] for piece in pieces))


@dataclass(frozen=True, slots=True)
class ClosingGroup:
    """The closings of group `number` of a panel, on one fabric and press.

    `parts` are the parts that the panel is pressed in; empty if it fits on the platen whole.
    """

    panel: Panel
    settings: PanelSettings
    number: int
    fabric: Fabric
    press: Press
    materials: Mapping[str, Material]
    parts: tuple[PlatenPart, ...] = ()

    @property
    def part(self) -> PlatenPart | None:
        """The part of the panel that this group is pressed in; None if it is pressed whole."""
        elements = set(elements_of(self.final.pieces))
        return next((part for part in self.parts if elements <= set(part.elements)), None)

    @property
    def tacks(self) -> tuple[Closing, ...]:
        """The tacks, from the fabric up."""
        return tuple(c for c in self._closings() if c.purpose is Purpose.TACK)

    @property
    def final(self) -> Closing:
        """The final closing."""
        return next(c for c in self._closings() if c.purpose is Purpose.FINAL)

    @property
    def first(self) -> Closing:
        """The first closing, pre-press not counted."""
        return self._closings()[0]

    @property
    def pre_press_seconds(self) -> int:
        """Whole seconds of pre-press: once per panel, in its first group; 0 in later groups."""
        return self.fabric.pre_press.whole if self.number == 0 else 0

    @property
    def films(self) -> tuple[int, int]:
        """The lowest and highest whole degree that all films and the cloth allow."""
        unit, closings = self.settings.unit, self._closings()
        lows = {self.material(p).temperature.low.whole_in(unit) for c in closings for p in c.pieces}
        highs = {
            self.material(p).temperature.high.whole_in(unit) for c in closings for p in c.heated
        }
        for low, high in (self._gapless_degrees(self.material(p)) for p in self.final.pieces):
            lows.add(low)
            highs.add(high)
        cloth = [self.fabric.temperature_max]
        if self.fabric.dye_cap and not all(self.material(p).blocks_dye for p in self.final.pieces):
            cloth.append(self.fabric.dye_cap)
        return max(lows), min(*highs, *(limit.whole_in(unit) for limit in cloth))

    def _gapless_degrees(self, material: Material) -> tuple[int, int]:
        """The degrees around the final's for which the sheet gives seconds without a gap."""
        at = self.final.temperature
        each = covered_ranges(material.dwell, self.settings.unit)
        return next(((low, high) for low, high in each if low <= at <= high), (at, at))

    @property
    def sheets_again(self) -> tuple[bool | None, ...]:
        """Whether re-pressing needs the sheet after none of the peels, after the first, and so on.

        None if the pieces bare by then cannot be pressed again, or their sheet rules contradict.
        """
        peels = self.final.peel
        stages = sorted(set(peels.values()))
        return tuple(
            self._sheet_suits({piece for piece, own in peels.items() if own in stages[done:]})
            for done in range(len(stages) + 1)
        )

    def _sheet_suits(self, carried: set[str]) -> bool | None:
        """Whether the sheet is on if only `carried` still have a carrier; None if neither suits."""
        rules = {self.material(piece).sheet_rule(piece in carried) for piece in self.final.heated}
        if SheetRule.NO_PRESS in rules or {SheetRule.REQUIRED, SheetRule.FORBIDDEN} <= rules:
            return None
        return SheetRule.REQUIRED in rules

    def layers(self) -> dict[str, Layer]:
        """Return the layers of the panel by piece name, in the recipe's order."""
        return {
            piece: layer
            for element in self.panel.elements
            for piece, layer in zip(element.pieces(), element.layers, strict=True)
        }

    def material(self, piece: str) -> Material:
        """Return the material of a piece."""
        return self.materials[self.layers()[piece].material]

    def in_order(self, pieces: tuple[str, ...]) -> tuple[str, ...]:
        """Return `pieces` in the recipe's order."""
        return tuple(piece for piece in self.layers() if piece in pieces)

    def _closings(self) -> tuple[Closing, ...]:
        return tuple(c for c in self.settings.closings if c.group == self.number)


ONE_PIECE, TWO_LAYER, THREE_LAYER, STAGED_PEEL = FAMILIES


def families(plan: Plan, passage: Pass) -> tuple[str, ...]:
    """Return the families of a pass of `plan`: by its tallest stack, then by its peels."""
    layers = {p.name: p.layers for p in plan.pieces if p.panel in ("", passage.panel)}
    laid = (name for step in passage.steps if step.phase in LAYING for name in step.pieces)
    tallest = max((layers.get(name, 1) for name in laid), default=1)
    by_layers = (ONE_PIECE, TWO_LAYER, THREE_LAYER)[min(max(tallest, 1), 3) - 1]
    peels = sum(step.phase is Phase.PEEL for step in passage.steps)
    return (by_layers, STAGED_PEEL) if peels > 1 else (by_layers,)


def plan_families(plan: Plan) -> tuple[str, ...]:
    """Return the families of all passes of a plan, each once, in the order of `FAMILIES`."""
    found = {family for passage in plan.passes for family in families(plan, passage)}
    return tuple(family for family in FAMILIES if family in found)
