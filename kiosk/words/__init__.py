"""Message ids and faults into a language. The sentences are in `assets/locale`."""

# fmt: off
# isort: skip_file
from kiosk.words.speak import Words, fault_text
