"""Cautions by the signal words of ANSI Z535.4, and what comes before this program."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

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

CAUTIONS: dict[str, Sentence] = {
    "signal.warning": N_("WARNING"),
    "signal.caution": N_("CAUTION"),
    "caution.burn": N_("The platen burns at once and stays hot. There is no safe touch."),
    "caution.pinch": N_("Keep hands clear when the press closes."),
    "caution.alone": N_("Never leave a hot closed press alone."),
    "caution.shock": N_("Damaged cord or plug: stop. Only a licensed person opens a press."),
    "caution.fumes": N_("Heated films give off fumes. Air the room."),
    "caution.paper": N_("Hold the strips by their ends. Hands out before the press closes."),
    "caution.probe": N_("Hold the probe by its handle. Never touch the platen."),
    "caution.touch": N_("It can still burn. Hold the back of your hand near it first."),
    "caution.first": N_(
        "First come the material's own sheet, the press's manual, local codes, licensed practice."
    ),
    "caution.device": N_(
        "Senses taps, pedal, switches where wired, and the clock. Controls nothing, protects "
        "nobody."
    ),
    "caution.untried": N_("Not yet tried on a real press."),
}
