"""An element's box on the garment: as worn, and as the operator sees it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from kiosk.plan.fitting import AS_CUT, Fitted, Letter


@dataclass(frozen=True, slots=True)
class Box:
    """An element's box, all layers. `x`, `y` are its middle in inches from centre line and seam.

    As worn, x grows to the right of who looks at it and y away from the collar. The height is
    a capital's; `letters` are the ink of the top layer, an accent above the box. `growth` is
    how far the lowest layer stands out around them. `turned` says that the art is upside down
    as seen.
    """

    element: str
    x: float
    y: float
    width: float
    height: float
    turned: bool = False
    letters: tuple[Letter, ...] = ()
    growth: float = 0.0
    fitted: Fitted = AS_CUT

    @property
    def ink(self) -> tuple[float, float, float, float]:
        """Left, low y, right and high y of the ink of all layers; the box itself without ink."""
        if not self.letters:
            w, h = self.width / 2, self.height / 2
            return self.x - w, self.y - h, self.x + w, self.y + h
        g = self.growth
        return (
            min(each.x - each.width / 2 for each in self.letters) - g,
            min(each.y - each.height / 2 for each in self.letters) - g,
            max(each.x + each.width / 2 for each in self.letters) + g,
            max(each.y + each.height / 2 for each in self.letters) + g,
        )


def as_operator(boxes: tuple[Box, ...], collar_toward_operator: bool) -> tuple[Box, ...]:
    """Return the boxes as the hands see them: turned where the collar is toward the operator."""
    return tuple(turn(box) for box in boxes) if collar_toward_operator else boxes


def turn(box: Box) -> Box:
    """Return the box turned by 180° about collar seam and centre line; never mirrored."""
    turned = tuple(replace(each, x=-each.x, y=-each.y) for each in box.letters)
    return replace(box, x=-box.x, y=-box.y, letters=turned, turned=not box.turned)
