"""Repairs for a file that is damaged, moved or gone."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.log.rescue.copies import back_up, on_a_stick, written_log
    from kiosk.log.rescue.mend import Salvage, past_damage, without_bad
    from kiosk.log.rescue.walk import LogPatrol

__getattr__ = face(__name__)
