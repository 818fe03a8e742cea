"""From a command to the file and the state, and back again at a start."""

# fmt: off
from kiosk.log.record.recorder import Outcome, Recorder, start

__all__ = [
    "Outcome", "Recorder", "start",
]
