"""Turn message ids and faults into sentences of a language, which are in `assets/locale`."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.words.places import place_in_words, step_word, value_in_words
    from kiosk.words.speak import Words, fault_text

__getattr__ = face(__name__)
