"""Audits every picture of the shift: `python -m tests.station.station_audit_all [SHOTS]`.

Draws each page and work move in English, Spanish and a made-up language a third longer, on 7, 10.1
and 13.3 inches, both ways up, and prints what is cut off, overlaps, is too small to touch or has
less than 7:1 of contrast. With SHOTS all pictures are kept there, in folders.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests" / room) for room in ("station", "run")] + [str(ROOT)]

import conftest  # noqa: E402, F401 - makes the window ready
from kivy.core.window import Window  # noqa: E402
from station_audit import clipped, faint, height_kept, overlapping, too_small  # noqa: E402
from station_harness import Bench  # noqa: E402
from station_tour import SIZES, TONGUES, Glass, Stop, scenes, shift  # noqa: E402

from kiosk.station.demo.play import WindowSize  # noqa: E402


def faults(
    bench: Bench, stop: Stop, size: WindowSize, tongue: str, shots: Path | None
) -> Iterator[str]:
    """Put a picture into the window, yield its faults, and save it if `shots` is given."""
    for child in Window.children[:]:
        Window.remove_widget(child)
    glass = Glass(stop, size, tongue)
    Window.add_widget(glass)
    if shots is not None:
        folder = shots / f"{size.name}-{tongue}"
        folder.mkdir(parents=True, exist_ok=True)
        nth = len(list(folder.iterdir()))
        bench.picture(folder / f"{nth:03d}-{stop.name.replace(' ', '-')}.png")
    picture = bench.pixels()
    yield from (*too_small(glass), *clipped(glass), *overlapping(glass))
    yield from faint(glass, picture)


def main(shots: Path | None) -> int:
    """Audit everything; return 1 if there is any fault."""
    bench, wrong = Bench(), 0
    with tempfile.TemporaryDirectory(prefix="kiosk-audit-") as place:
        stops = [*shift(bench, Path(place)).stops, *scenes()]
    for size in SIZES:
        bench.resize(size.width, size.height)
        for tongue in TONGUES:
            least = 1.0
            for stop in stops:
                for fault in faults(bench, stop, size, tongue, shots):
                    print(f"{stop.name} {size.name} {tongue}: {fault}", flush=True)
                    wrong += 1
                least = min(least, height_kept(Window.children[0]))
            print(f"{size.name} {size.inches} in, {tongue}: {len(stops)} pictures, letters keep "
                  f"{least:.2f} of their height at the least", flush=True)  # fmt: skip
    print(f"{wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else None))
