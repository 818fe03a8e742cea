"""Read materials, fabrics, presses, policy and recipes."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.catalog.sheets.sheet_questions import MORE, AnswerForm, SheetQuestion
    from kiosk.catalog.sheets.holes import holes
    from kiosk.catalog.sheets.materials import FABRIC, MATERIAL
    from kiosk.catalog.sheets.materials import recipe
    from kiosk.catalog.sheets.shop import PRESS

__getattr__ = face(__name__)
