"""The sources that a plan rests on, as plain data: replay and report read no recipe file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from kiosk.catalog.model import Catalog, Job
from kiosk.catalog.source import ALL_GUESSED, Sources


@dataclass(frozen=True, slots=True)
class PlanSources:
    """The sources of each material of the job by its key, of its fabric and of its press.

    A plan of an older record has none: everything in it is a guess.
    """

    materials: Mapping[str, Sources] = field(default_factory=dict)
    fabric: Sources = ALL_GUESSED
    press: Sources = ALL_GUESSED

    def of_material(self, key: str) -> Sources:
        """Return the sources of material `key`; all guessed where the plan names none."""
        return self.materials.get(key, ALL_GUESSED)

    def owners(self) -> Iterator[Sources]:
        """Yield the sources of the materials, then of the fabric and the press."""
        yield from self.materials.values()
        yield self.fabric
        yield self.press


def sources_of(job: Job, catalog: Catalog) -> PlanSources:
    """Return the sources of what `job` is pressed with, materials in the recipe's order."""
    panels = catalog.recipes[job.recipe].panels
    layers = (layer for p in panels for element in p.elements for layer in element.layers)
    return PlanSources(
        {layer.material: catalog.materials[layer.material].source for layer in layers},
        catalog.fabrics[job.fabric].source,
        catalog.presses[job.press].source,
    )
