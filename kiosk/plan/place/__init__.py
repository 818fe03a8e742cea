"""Where each element goes on the garment and on the platen."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.place.fitting import ElementBox, Letter, as_operator
    from kiosk.plan.sizes import ClosingPart
    from kiosk.plan.place.placement import (
        HALF_WIDTHS, NOBODY, Bed, Heights, PanelLayout, Team, bed_of, class_of, element_heights,
        fitted_heights, lay_out, right_side, seam_ruler,
    )
    from kiosk.plan.place.questions import (
        PlatenParts, part_lines, place_questions, platen_parts, size_faults, text_on,
    )

__getattr__ = face(__name__)
