"""Makes the station's tones: `python assets/tones/make.py` writes the WAV files beside it.

Shops are loud, so the tones differ in rhythm, not in pitch.
"""

from __future__ import annotations

import sys
import wave
from array import array
from math import pi, sin
from pathlib import Path

RATE = 22050
LOUD = 0.82
EDGE_SECONDS = 0.006  # a soft edge; otherwise every tone begins with a crack

Pulse = tuple[float, float, float]  # Hz, seconds on, seconds off

TONES: dict[str, tuple[Pulse, ...]] = {
    # The count-in says what is closing: once long, twice, three times.
    "count-pre-press": ((660, 0.5, 0.5),),
    "count-tack": ((660, 0.07, 0.43), (660, 0.07, 0.43)),
    "count-final": ((660, 0.07, 0.26), (660, 0.07, 0.26), (660, 0.07, 0.27)),
    "time-up": ((880, 0.42, 0.13), (880, 0.42, 0.13), (1175, 0.7, 0.1)),
    "due": ((740, 0.12, 0.08), (740, 0.12, 0.45), (740, 0.12, 0.08), (740, 0.12, 0.1)),
    "over": ((1047, 0.08, 0.06),) * 8,
    "refused": ((440, 0.11, 0.05),),  # the lowest that a tablet's small speaker can play
    "done": ((523, 0.14, 0.06), (659, 0.14, 0.06), (784, 0.5, 0.1)),
}


def samples(pulses: tuple[Pulse, ...]) -> array[int]:
    """Return 16-bit samples of some pulses."""
    made = array("h")
    for hertz, on, off in pulses:
        count = round(on * RATE)
        made.extend(round(32767 * LOUD * _wave(hertz, i / RATE, on)) for i in range(count))
        made.extend([0] * round(off * RATE))
    return made


def _wave(hertz: float, at: float, on: float) -> float:
    """Return a sample (-1..1) of a tone with an octave above it, which carries through noise."""
    edge = min(1.0, at / EDGE_SECONDS, (on - at) / EDGE_SECONDS)
    body = 0.75 * sin(2 * pi * hertz * at) + 0.25 * sin(4 * pi * hertz * at)
    return edge * body


def write(folder: Path) -> None:
    """Write all tones into `folder`."""
    for name, pulses in TONES.items():
        made = samples(pulses)
        if sys.byteorder == "big":
            made.byteswap()
        with wave.open(str(folder / f"{name}.wav"), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(RATE)
            file.writeframes(made.tobytes())


if __name__ == "__main__":
    write(Path(__file__).resolve().parent)
