"""May this be done now: the table, what the bar means, the clock, and a file a subject."""

# fmt: off
# isort: skip_file
from kiosk.run.decide.bar import bar_meaning
from kiosk.run.decide.clock import settled
from kiosk.run.decide.closing import closing_ahead
from kiosk.run.decide.decide import decide
from kiosk.run.decide.table import is_legal

__all__ = [
    "bar_meaning", "closing_ahead", "decide", "is_legal", "settled",
]
