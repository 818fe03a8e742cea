"""The tones: told apart by rhythm in a loud shop, and made by our own script."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
import wave
from array import array
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from kiosk.station.desk.cues import Cue
from kiosk.station.glass.cues import NAMES, TONES, Player

QUIET = 400  # of 32767
GAP_SECONDS = 0.03  # shorter silences are zero crossings of one tone


def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_tones", TONES / "make.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def rhythm_of(path: Path) -> tuple[float, ...]:
    """Return the lengths of sounds and silences in turn, in twentieths of a second."""
    with wave.open(str(path)) as file:
        rate = file.getframerate()
        data = array("h", file.readframes(file.getnframes()))
    lengths: list[float] = []
    start = last = 0
    for i, value in enumerate(data):
        if abs(value) > QUIET:
            if i - last > GAP_SECONDS * rate:
                lengths += [last - start, i - last]
                start = i
            last = i
    return tuple(round(20 * length / rate) for length in (*lengths, last - start))


def test_every_cue_has_its_tone() -> None:
    assert {cue.value for cue in Cue} <= set(NAMES)
    assert all((TONES / f"{name.replace(' ', '-')}.wav").exists() for name in NAMES)


def test_no_two_tones_share_a_rhythm() -> None:
    rhythms = {name: rhythm_of(TONES / f"{name.replace(' ', '-')}.wav") for name in NAMES}
    assert len(set(rhythms.values())) == len(NAMES), rhythms
    counts = {name: (len(rhythm) + 1) // 2 for name, rhythm in rhythms.items()}
    assert counts["refused"] == 1
    assert counts["over"] == 8
    assert max(rhythms["time up"]) > 4 * max(rhythms["count final"][::2])


def test_the_files_are_what_the_script_makes(tmp_path: Path) -> None:
    maker().write(tmp_path)
    for name in NAMES:
        file = f"{name.replace(' ', '-')}.wav"
        assert (tmp_path / file).read_bytes() == (TONES / file).read_bytes(), name


def test_the_refused_tone_is_audible_on_a_small_speaker() -> None:
    """Above 600 Hz it would sound like the count-in. Measured in the file.

    A small speaker gives little below 400 Hz (common practice, no source).
    """
    with wave.open(str(TONES / "refused.wav")) as file:
        rate, data = file.getframerate(), np.frombuffer(file.readframes(-1), "<i2")
    power = np.abs(np.fft.rfft(data.astype(float))) ** 2
    hertz = np.fft.rfftfreq(len(data), 1 / rate)
    assert 400 <= hertz[power.argmax()] <= 600
    assert power[hertz < 380].sum() < 0.05 * power.sum()


@pytest.mark.parametrize("closing", ["pre-press", "tack", "final"])
def test_the_count_in_is_over_when_the_clock_starts(closing: str) -> None:
    with wave.open(str(TONES / f"count-{closing}.wav")) as file:
        assert file.getnframes() / file.getframerate() == pytest.approx(1.0, abs=0.01)


def test_a_missing_tone_turns_the_sound_off_and_does_nothing_else(tmp_path: Path) -> None:
    player = Player(tmp_path)
    assert not player.off
    player.play("due")
    assert player.off


PLAY = """
from kiosk.station.glass.open import prepare
prepare((64, 64), fingers=False)
from kiosk.station.glass.cues import Player
player = Player()
player.warm()
player.play("time up")
print("off" if player.off else "on")
"""


@pytest.mark.parametrize(("driver", "said"), [("dummy", "on"), ("none-such", "off")])
def test_the_player_is_off_without_a_sound_device(driver: str, said: str) -> None:
    environment = {"PATH": "", "SDL_VIDEODRIVER": "offscreen", "SDL_AUDIODRIVER": driver}
    root = TONES.parents[1]
    done = subprocess.run(
        [sys.executable, "-c", PLAY], env=environment, cwd=root, capture_output=True, text=True,
        check=False, timeout=60,
    )  # fmt: skip
    assert done.stdout.strip() == said, done.stderr
