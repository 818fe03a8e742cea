"""The supervisor's rounds in the demo: pages that no garment leads to."""

from __future__ import annotations

from collections.abc import Callable

from kiosk.station.demo.hands import Hands

PIN = "2468"


def sounds_and_keys(hands: Hands, shot: Callable[[str], None]) -> None:
    """From the list of jobs to what is heard, and to the keys of pedal and switch, and back."""
    hands.touch("Supervisor")
    hands.type(PIN)
    hands.touch("Enter", "Tones, voice, vibration", "Voice: ")
    shot("cues")
    hands.touch("Voice: ", "back", "Pedal and switch")
    shot("keys")
    hands.touch("Pedal: forward")
    shot("learn-key")
    hands.touch("back", "back", "back")


def report(hands: Hands, shot: Callable[[str], None]) -> None:
    """From the list of jobs to the shift's report: a table, a chart, and back."""
    hands.touch("Supervisor")
    hands.type(PIN)
    hands.touch("Enter", "This shift")
    shot("report")
    hands.touch("What failed most")
    shot("report-table")
    hands.touch("Go on")
    shot("report-chart")
    hands.touch("back", "back", "back")
