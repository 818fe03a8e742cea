"""May this be done now: what the bar means, what the clock brings, and a file a subject."""

# fmt: off
# isort: skip_file
from kiosk.run.decide.bar import meaning_of
from kiosk.run.decide.closing import closing_ahead
from kiosk.run.decide.closing import waits_for_peel
from kiosk.run.decide.decide import bar_meaning, carry_out, decide, is_legal, settled
