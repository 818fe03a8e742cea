"""All that a station gives beside its screen: tones, voice, vibration."""

from __future__ import annotations

from kiosk.catalog.base import Message
from kiosk.run.state import Cues
from kiosk.station.cues.player import Player
from kiosk.station.cues.vibration import Vibration
from kiosk.station.cues.voice import Voice
from kiosk.words import Words

KINDS = ("tones", "voice", "vibration")


class GivenCues:
    """Gives each cue that is wanted. `voice.language` follows the screen's."""

    def __init__(self, language: str) -> None:
        self.player = Player()
        self.voice = Voice(language)
        self.vibration = Vibration()
        self._said: tuple[Message, ...] = ()

    def sound(self, cue: str, wanted: Cues) -> None:
        """Let a cue be heard and felt."""
        if wanted.tones:
            self.player.play(cue)
        if wanted.vibration:
            self.vibration.shake(cue)

    def speak(self, said: tuple[Message, ...], words: Words, wanted: Cues) -> None:
        """Say what a picture asks for once, as it comes up; nothing said ends what is spoken."""
        if said == self._said:
            return
        self._said = said
        if wanted.voice:
            self.voice.say(". ".join(words.say(part) for part in said))

    def silent(self) -> frozenset[str]:
        """Return the kinds that turned out not to be on this machine."""
        off = (self.player.off, self.voice.off, self.vibration.off)
        return frozenset(kind for kind, none in zip(KINDS, off, strict=True) if none)
