"""Which cautions are shown where, by the signal words of ANSI Z535.4."""

from __future__ import annotations

# (signal word, caution): WARNING could injure badly, CAUTION could injure.
SET_UP = (
    ("warning", "burn"),
    ("warning", "pinch"),
    ("warning", "alone"),
    ("warning", "shock"),
    ("caution", "fumes"),
)
PAPER = (("warning", "paper"),)
PROBE = (("warning", "probe"),)
TOUCH = (("caution", "touch"),)
FIRST = ("caution.first", "caution.device", "caution.untried")
"""What comes before this program, what it senses, and what has not been tried."""
