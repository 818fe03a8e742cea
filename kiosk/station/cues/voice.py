"""Speaks prompts: never waited for, never in the way; the newest prompt ends the one before."""

from __future__ import annotations

import os
import shutil
import subprocess
import threading
from collections.abc import Callable, Sequence

WORDS_A_MINUTE = 165
ENGINES = ("espeak-ng", "espeak")


def speech(text: str, language: str, *more: str) -> tuple[str, ...] | None:
    """Return the command that speaks `text`, None where this machine has no such engine."""
    found = next((path for name in ENGINES if (path := shutil.which(name))), None)
    if found is None:
        return None
    return (found, "-v", language, "-s", str(WORDS_A_MINUTE), *more, "--", text)


class Voice:
    """A thread that speaks the last text it was given. `off` once nothing here can speak.

    `command` makes the engine's command line. Where there is none the machine's own speech is
    used, through plyer (it knows no language, and cannot be cut short).
    """

    def __init__(
        self,
        language: str = "en",
        command: Callable[[str, str], Sequence[str] | None] = speech,
    ) -> None:
        self.language = language
        self.off = False
        self._command = command
        self._text = ""
        self._wake = threading.Condition()
        self._speaking: subprocess.Popen[bytes] | None = None
        self._thread: threading.Thread | None = None
        self._ended = False

    def say(self, text: str) -> None:
        """Speak `text` instead of whatever is being said; "" only ends that."""
        with self._wake:
            self._text = text
            self._hush()
            if self._thread is None and text:
                self._thread = threading.Thread(target=self._speak_on, name="voice", daemon=True)
                self._thread.start()
            self._wake.notify()

    def close(self) -> None:
        """Say nothing more."""
        with self._wake:
            self._ended, self._text = True, ""
            self._hush()
            self._wake.notify()

    def _hush(self) -> None:
        if self._speaking is not None and self._speaking.poll() is None:
            self._speaking.kill()

    def _speak_on(self) -> None:
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
                self._by_the_machine(text)
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

    def _by_the_machine(self, text: str) -> None:
        try:
            from plyer import tts

            tts.speak(message=text)
        except Exception:  # whatever a platform's speech raises, the screen goes on without it
            self.off = True
