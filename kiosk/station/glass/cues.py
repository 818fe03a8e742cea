"""Gives cues as far as this machine can: tones, spoken steps and numbers, vibration."""

import os
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from kiosk.catalog.base import Message, Value, say
from kiosk.plan.model import Phase
from kiosk.run.facts import PeelZone, ScreenKind
from kiosk.run.show import View
from kiosk.run.state import Cues
from kiosk.words import Words

_PHASE_PROMPTS = {
    Phase.PRE_PRESS: say("voice.pre_press"),
    Phase.TACK: say("voice.tack"),
    Phase.FINAL: say("voice.final"),
}
_KIND_PROMPTS = {
    ScreenKind.OVER: say("voice.over"),
    ScreenKind.UNASKED: say("voice.over"),
    ScreenKind.OPEN_FIRST: say("voice.over"),
    ScreenKind.ASK: say("voice.ask"),
    ScreenKind.ASK_CLOSED: say("voice.ask_closed"),
    ScreenKind.SETTING: say("voice.setting"),
    ScreenKind.HELD: say("voice.held"),
    ScreenKind.DONE: say("voice.done"),
}


def prompts(view: View) -> tuple[Message, ...]:
    """Return what to say for a view, part by part."""
    if view.kind is ScreenKind.HEAT:
        return _heat_prompts(view)
    if view.kind is ScreenKind.HANDS:
        return _hands_prompts(view)
    prompt = _KIND_PROMPTS.get(view.kind)
    return () if prompt is None else (prompt,)


def _heat_prompts(view: View) -> tuple[Message, ...]:
    due = next((chip for chip in view.chips if chip.zone is not PeelZone.SOON), None)
    if due is not None:
        return (say("voice.due", number=spoken(due.number)),)
    prompt = None if view.phase is None else _PHASE_PROMPTS.get(view.phase)
    return () if prompt is None else (prompt,)


def _hands_prompts(view: View) -> tuple[Message, ...]:
    open_call = (say("voice.open"),) if view.open_since is not None else ()
    says_number = view.phase is Phase.LOAD and view.digits and "number" not in view.move.values
    number = (say("voice.number", number=spoken(view.digits)),) if says_number else ()
    return (*open_call, *number, Message(view.move.id, _spoken_numbers(view.move.values)))


def _spoken_numbers(values: Mapping[str, Value]) -> dict[str, Value]:
    numbers = {"number", "racked"}
    return {k: spoken(str(v)) if k in numbers else v for k, v in values.items()}


def spoken(number: str) -> str:
    """Return a number digit by digit, as it is read out in noise: `07` is not `7`."""
    return " ".join(number)


KINDS = ("tones", "voice", "vibration")
SAMPLE = "48"  # a number to try the voice with


class CueOutput:
    """Gives each cue that is wanted. `voice.language` follows the screen's language."""

    def __init__(self, language: str) -> None:
        self.player = Player()
        self.voice = Voice(language)
        self.vibration = Vibration()
        self._messages: tuple[Message, ...] = ()

    def sound(self, cue: str, cues_on: Cues) -> None:
        """Play a cue's tone and vibration, as far as they are wanted."""
        if cues_on.tones:
            self.player.play(cue)
        if cues_on.vibration:
            self.vibration.shake(cue)

    def speak(self, messages: tuple[Message, ...], words: Words, cues_on: Cues) -> None:
        """Speak what a view asks for, once; an empty `messages` stops the voice."""
        if messages == self._messages:
            return
        self._messages = messages
        if cues_on.voice:
            self.voice.say(". ".join(words.say(part) for part in messages))

    def try_out(self, cue: str, words: Words) -> None:
        """Give one cue, or `voice` or `vibration`, as a sample, even if it is turned off."""
        if cue == "voice":
            self.voice.say(words("voice.due", number=spoken(SAMPLE)))
        elif cue == "vibration":
            self.vibration.shake("time up")
        else:
            self.player.play(cue)

    def silent(self) -> frozenset[str]:
        """Return the kinds of cue that this machine cannot give."""
        self.voice.check()
        self.vibration.check()
        off = (self.player.off, self.voice.off, self.vibration.off)
        return frozenset(kind for kind, missing in zip(KINDS, off, strict=True) if missing)


TONES = Path(__file__).resolve().parents[3] / "assets" / "tones"
NAMES = (
    "count pre-press", "count tack", "count final", "time up", "due", "over", "refused", "done"
)  # fmt: skip


class Player:
    """Plays tones. Loads Kivy's sound only for the first tone: it would slow the start.

    `off` means that nothing can be heard: no device, or missing files.
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
        """Play a tone from its beginning."""
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
        if sound is None or sound.length <= 0:  # without a device Kivy loads it but plays nothing
            self.off = True
            return None
        return sound


SECONDS = {"time up": 0.6, "due": 0.3, "over": 0.3, "refused": 0.15, "done": 0.4}


class Vibration:
    """Vibrates for some cues. `off` once the machine turns out to lack it."""

    def __init__(self) -> None:
        self.off = False
        self._checked = False

    def check(self) -> None:
        """Find out, once and without vibrating, whether this machine can."""
        if self._checked:
            return
        self._checked = True
        try:
            from plyer import vibrator

            self.off = not _on_platform("vibrator") or not vibrator.exists()
        except Exception:  # NotImplementedError, or whatever a platform raises
            self.off = True

    def shake(self, cue: str) -> None:
        """Vibrate as long as `cue` asks; do nothing for a cue without vibration."""
        self.check()
        if self.off or cue not in SECONDS:
            return
        try:
            from plyer import vibrator

            vibrator.vibrate(SECONDS[cue])
        except Exception:  # as above
            self.off = True


def _on_platform(feature: str) -> bool:
    """Return whether plyer has `feature` here; importing a missing one prints a traceback."""
    from plyer.utils import platform

    return find_spec(f"plyer.platforms.{platform}.{feature}") is not None


WORDS_A_MINUTE = 165
ENGINES = ("espeak-ng", "espeak")


def speech(text: str, language: str, *arguments: str) -> tuple[str, ...] | None:
    """Return the command that speaks `text`, None if this machine has no speech engine."""
    found = next((path for name in ENGINES if (path := shutil.which(name))), None)
    if found is None:
        return None
    return (found, "-v", language, "-s", str(WORDS_A_MINUTE), *arguments, "--", text)


class Voice:
    """A thread that speaks the latest text. `off` once nothing here can speak.

    `command` makes the engine's command line. If it returns None, the machine's own speech is used
    through plyer, which knows no language and cannot be cut short.
    """

    def __init__(
        self, language: str = "en", command: Callable[[str, str], Sequence[str] | None] = speech
    ) -> None:
        self.language = language
        self.off = False
        self._command = command
        self._text = ""
        self._wake = threading.Condition()
        self._speaking: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._ended = False

    def check(self) -> None:
        """Find out, without a sound, whether anything here can speak."""
        if self.off or self._command("", self.language) is not None:
            return
        try:  # on Linux plyer uses the same engines
            self.off = sys.platform == "linux" or not _on_platform("tts")
        except Exception:  # no plyer, so no speech through it
            self.off = True

    def say(self, text: str) -> None:
        """Speak `text` and stop what is being said; "" only stops."""
        with self._wake:
            self._text = text
            self._hush()
            if self._thread is None and text:
                self._thread = threading.Thread(target=self._run, name="voice", daemon=True)
                self._thread.start()
            self._wake.notify()

    def close(self) -> None:
        """Stop speaking, for good."""
        with self._wake:
            self._ended, self._text = True, ""
            self._hush()
            self._wake.notify()

    def _hush(self) -> None:
        if self._speaking is not None and self._speaking.poll() is None:
            self._speaking.kill()

    def _run(self) -> None:
        while True:
            with self._wake:
                self._wake.wait_for(lambda: self._text or self._ended)
                if self._ended:
                    return
                text, self._text = self._text, ""
                command = self._command(text, self.language)
                speaking = self._start(command) if command else None
                self._speaking = speaking
            if speaking is not None:
                speaking.wait()
            elif command is None:
                self._speak_by_plyer(text)
            with self._wake:
                self._wake.notify_all()

    def _start(self, command: Sequence[str]) -> subprocess.Popen[bytes] | None:
        try:
            return subprocess.Popen(
                command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL, env=os.environ,
            )  # fmt: skip
        except OSError:
            self.off = True
            return None

    def _speak_by_plyer(self, text: str) -> None:
        try:
            from plyer import tts

            tts.speak(message=text)
        except Exception:  # whatever a platform's speech raises, the screen goes on without it
            self.off = True
