"""How an event changes a state, one file per subject; start reading at `fold`."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.run.apply.cooling import is_final
    from kiosk.run.apply.fold import Course, apply, replay

__getattr__ = face(__name__)
