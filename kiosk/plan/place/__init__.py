"""Where each element goes on the garment and on the platen."""

# fmt: off
# isort: skip_file
from kiosk.plan.place.fitting import Box, Letter, as_operator
from kiosk.plan.sizes import Part
from kiosk.plan.place.placement import (
    HALF_WIDTHS, NOBODY, Bed, Heights, LayOut, Team, bed_of, class_of, element_heights,
    fitted_heights, lay_out, right_side,
)
from kiosk.plan.place.questions import (
    PlatenParts, place_questions, platen_parts, said, seam_ruler, size_faults, told_parts,
)
