"""Where each element goes on the garment and on the platen."""

# fmt: off
from kiosk.plan.place.fitting import Box, Letter, as_operator
from kiosk.plan.place.parts import Part
from kiosk.plan.place.placement import (
    HALF_WIDTHS,
    NOBODY,
    Bed,
    Heights,
    LayOut,
    Team,
    bed_of,
    class_of,
    element_heights,
    fitted_heights,
    lay_out,
    right_side,
)
from kiosk.plan.place.questions import said, seam_ruler, told_parts

__all__ = [
    "HALF_WIDTHS", "NOBODY", "Bed", "Box", "Heights", "LayOut", "Letter", "Part", "Team",
    "as_operator", "bed_of", "class_of", "element_heights", "fitted_heights", "lay_out",
    "right_side", "said", "seam_ruler", "told_parts",
]
