"""Settings that serve all pieces pressed, or the smallest reason why there are none."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.plan.settings.limits import SheetLimits, read_cloth, read_sheet
    from kiosk.plan.settings.named import BrokenLimit, TrialFinal
    from kiosk.plan.settings.solver import can_press, solve

__getattr__ = face(__name__)
