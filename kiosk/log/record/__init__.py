"""From a command to the file and the state, and back again at a start."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.log.record.follower import HOLDS, Follower, RackItem, StationActivity, StationLook
    from kiosk.log.record.recorder import Outcome, Recorder, start

__getattr__ = face(__name__)
