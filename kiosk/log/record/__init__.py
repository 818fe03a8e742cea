"""From a command to the file and the state, and back again at a start."""

# fmt: off
from kiosk.log.record.recorder import Outcome, Recorder, start
from kiosk.log.record.tickets import TicketRow

__all__ = [
    "Outcome", "Recorder", "TicketRow", "start",
]
