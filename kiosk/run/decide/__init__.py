"""Is this command allowed now, and what happens: one file per subject."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.run.decide.bar import SETTLES_SECONDS, meaning_of
    from kiosk.run.decide.closing import closing_ahead
    from kiosk.run.decide.cooling import waits_for_peel
    from kiosk.run.decide.decide import bar_meaning, carry_out, is_legal, settled

__getattr__ = face(__name__)

# Loaded last because the function must win over the module of the same name.
from kiosk.run.decide.decide import decide
