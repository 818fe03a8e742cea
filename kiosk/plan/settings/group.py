"""The pieces of a panel, gathered into closing groups."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kiosk.catalog.model import Element, Material, Peel
from kiosk.plan.settings.limits import SheetLimits

SHARED = ""  # the carrier of elements that share one; no element is called that


@dataclass(frozen=True, slots=True)
class PieceLimits:
    """One piece of an element with its sheet.

    `carrier` names what it comes off with, `order` counts the pieces of a panel from 0.
    """

    name: str
    element: str
    layer: int
    stacked: bool
    carrier: str
    order: int
    sheet: SheetLimits

    @property
    def material(self) -> Material:
        """What it is cut from."""
        return self.sheet.material

    @property
    def carrier_in_final(self) -> bool:
        """Whether a carrier is on it in its final: a stack's carriers are off by then."""
        return self.material.carrier and not self.stacked

    @property
    def tack_peel(self) -> frozenset[Peel]:
        """When its carrier may come off after a tack."""
        return self.material.tack.peel if self.material.tack else frozenset()


@dataclass(frozen=True, slots=True)
class Layout:
    """Who lies how under the platen in one closing.

    `laid` are the pieces that the closing is for, `carried` those of them with a carrier on,
    `bare` all others under the platen: lower layers, carriers already off, passengers.
    """

    laid: tuple[PieceLimits, ...]
    carried: tuple[PieceLimits, ...]
    bare: tuple[PieceLimits, ...]

    @property
    def heated(self) -> tuple[str, ...]:
        """The names of all pieces under the platen."""
        return tuple(sorted(p.name for p in (*self.carried, *self.bare)))


@dataclass(frozen=True, slots=True)
class Group:
    """The pieces pressed together (`active`) and those pressed before (`passengers`)."""

    active: tuple[PieceLimits, ...]
    passengers: tuple[PieceLimits, ...] = ()

    def tacks(self) -> tuple[Layout, ...]:
        """Return the tacks from the bottom up: each holds that layer of every stack."""
        stacked = [p for p in self.active if p.stacked]
        return tuple(self._tack(layer, stacked) for layer in sorted({p.layer for p in stacked}))

    def _tack(self, layer: int, stacked: Iterable[PieceLimits]) -> Layout:
        laid = tuple(p for p in stacked if p.layer == layer)
        below = tuple(p for p in stacked if p.layer < layer)
        return Layout(laid, laid, (*below, *self.passengers))

    def final(self) -> Layout:
        """Return the final: stacks bare, one-layer elements with the carrier that they have."""
        carried = tuple(p for p in self.active if p.carrier_in_final)
        bare = tuple(p for p in self.active if not p.carrier_in_final)
        return Layout(self.active, carried, (*bare, *self.passengers))


def pieces_of(
    elements: Sequence[Element], sheets: Mapping[str, SheetLimits]
) -> tuple[PieceLimits, ...]:
    """Return the pieces of `elements` in the recipe's order, from the fabric up."""
    carriers = _carriers(elements)
    flat = [
        (element, n, name, layer.material)
        for element in elements
        for n, (name, layer) in enumerate(zip(element.pieces(), element.layers, strict=True), 1)
    ]
    return tuple(
        PieceLimits(
            name=name,
            element=element.name,
            layer=n,
            stacked=len(element.layers) > 1,
            carrier=carriers[element.name],
            order=order,
            sheet=sheets[material],
        )
        for order, (element, n, name, material) in enumerate(flat)
    )


def _carriers(elements: Sequence[Element]) -> dict[str, str]:
    """Return the carrier of each element: its own unless it is shared.

    An element that alone of its panel shares a carrier shares it with all others, since nothing
    is shared with nobody.
    """
    sharing = [element.name for element in elements if element.shared_carrier]
    together = [element.name for element in elements] if len(sharing) == 1 else sharing
    return {e.name: SHARED if e.name in together else e.name for e in elements}
