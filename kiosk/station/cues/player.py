"""Plays the station's tones; where there is no sound device it stays silent and says so."""

from __future__ import annotations

from pathlib import Path
from typing import Any

TONES = Path(__file__).resolve().parents[3] / "assets" / "tones"
NAMES = (
    "count pre-press",
    "count tack",
    "count final",
    "time up",
    "due",
    "over",
    "refused",
    "done",
)


class Player:
    """Loads Kivy's sound only when the first tone is wanted: it would slow the start.

    `off` tells that nothing can be heard: no device, or the files are missing.
    """

    def __init__(self, folder: Path = TONES) -> None:
        self._folder = folder
        self._sounds: dict[str, Any] = {}
        self.off = False

    def warm(self) -> None:
        """Load all tones, so that the first one is not late. Call after the first frame."""
        for name in NAMES:
            self._sound(name)

    def play(self, name: str) -> None:
        """Play a tone by its name, from its beginning."""
        sound = self._sound(name)
        if sound is None:
            return
        if sound.state == "play":
            sound.stop()
        sound.play()

    def _sound(self, name: str) -> Any:
        if name not in self._sounds:
            self._sounds[name] = self._load(name)
        return self._sounds[name]

    def _load(self, name: str) -> Any:
        from kivy.core.audio import SoundLoader

        path = self._folder / f"{name.replace(' ', '-')}.wav"
        sound = SoundLoader.load(str(path)) if path.exists() else None
        if sound is None or sound.length <= 0:  # without a device Kivy loads, and plays nothing
            self.off = True
            return None
        return sound
