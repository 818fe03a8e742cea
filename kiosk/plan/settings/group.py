"""The pieces of a panel, gathered into closing groups."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kiosk.catalog.model import Element, Material
from kiosk.plan.settings.limits import SheetLimits


@dataclass(frozen=True, slots=True)
class PieceLimits:
    """One piece of an element with its sheet; `order` counts the pieces of a panel from 0."""

    name: str
    element: str
    layer: int
    stacked: bool
    shared_carrier: bool
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
    elements: Iterable[Element], sheets: Mapping[str, SheetLimits]
) -> tuple[PieceLimits, ...]:
    """Return the pieces of `elements` in the recipe's order, from the fabric up."""
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
            shared_carrier=element.shared_carrier,
            order=order,
            sheet=sheets[material],
        )
        for order, (element, n, name, material) in enumerate(flat)
    )
