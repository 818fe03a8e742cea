"""A recipe on its fabric, press, policy and materials, solved panel by panel."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from kiosk.catalog.model import Fabric, Layer, Panel, Policy, Press, Recipe
from kiosk.plan.model import PanelSettings, PlatenPart
from kiosk.plan.settings.group import PieceLimits, pieces_of
from kiosk.plan.settings.limits import SheetLimits, read_cloth
from kiosk.plan.settings.panel import panel_settings
from kiosk.plan.settings.splits import Bench, best_solution
from kiosk.plan.settings.structure import broken_stack


@dataclass(frozen=True, slots=True)
class Failure:
    """A panel that cannot be pressed, with what was tried to press it with."""

    panel: Panel
    pieces: tuple[PieceLimits, ...]
    bench: Bench


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be pressed, on what, by whose rules; `sheets` are the materials as read.

    `parts` are those of the panels that are too long for the platen.
    """

    recipe: Recipe
    fabric: Fabric
    press: Press
    policy: Policy
    sheets: Mapping[str, SheetLimits]
    parts: Mapping[str, tuple[PlatenPart, ...]] = field(default_factory=dict)

    def settings(self) -> tuple[PanelSettings, ...] | Failure:
        """Return the settings of each panel, or the first panel that has none."""
        cloth = read_cloth(self.fabric, self.press.unit)
        setting = self.press.set_temperature.whole_in(self.press.unit)
        done: list[PanelSettings] = []
        for panel in self.recipe.panels:
            pieces = pieces_of(panel.elements, self.sheets)
            bench = Bench(cloth, self.press, self.policy, setting, self.parts.get(panel.name, ()))
            stands = broken_stack(pieces) is None
            solution = best_solution(pieces, bench) if stands else None
            if solution is None:
                return Failure(panel, pieces, bench)
            done.append(panel_settings(panel.name, pieces, bench, solution))
            setting = done[-1].closings[-1].temperature
        return tuple(done)

    def last_settings(self) -> PanelSettings | None:
        """Return the settings of the last panel, or None if some panel cannot be pressed."""
        result = self.settings()
        return None if isinstance(result, Failure) else result[-1]

    @property
    def last_panel(self) -> Panel:
        """The panel that changes are sought for."""
        return self.recipe.panels[-1]

    def up_to(self, panel: Panel) -> Order:
        """Return the same order without the panels after `panel`."""
        panels = self.recipe.panels
        return self._with_panels(panels[: panels.index(panel) + 1])

    def with_layers(self, layers: Mapping[int, tuple[Layer, ...]]) -> Order:
        """Return the same order with other layers for some elements of the last panel."""
        elements = tuple(
            replace(element, layers=layers.get(n, element.layers))
            for n, element in enumerate(self.last_panel.elements)
        )
        return self._with_panels(
            (*self.recipe.panels[:-1], replace(self.last_panel, elements=elements))
        )

    def _with_panels(self, panels: tuple[Panel, ...]) -> Order:
        return replace(self, recipe=replace(self.recipe, panels=panels))
