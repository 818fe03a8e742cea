"""Turn message ids and faults into sentences of a language, which are in `assets/locale`."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.words.places import place_said, step_said, value_said
    from kiosk.words.speak import Words, fault_text

__getattr__ = face(__name__)
