"""Shakes the tablet where it can: through plyer, which knows it on phones and tablets only."""

from __future__ import annotations

SECONDS = {"time up": 0.6, "due": 0.3, "over": 0.3, "refused": 0.15, "done": 0.4}


class Vibration:
    """Vibrates for some cues. `off` once the machine turns out not to have it."""

    def __init__(self) -> None:
        self.off = False

    def shake(self, cue: str) -> None:
        """Vibrate as long as `cue` asks; nothing for a cue without."""
        if self.off or cue not in SECONDS:
            return
        try:
            from plyer import vibrator

            vibrator.vibrate(SECONDS[cue])
        except Exception:  # NotImplementedError, or whatever a platform raises: there is none
            self.off = True
