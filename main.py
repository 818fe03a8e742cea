"""Entry point of the tablet package: python-for-android starts `main.py` (buildozer.spec).

The packaged shop files sit next to the program and are replaced by an update, so the first start
copies the examples into the app's home folder and the station works on that copy.
"""

import os
import sys
from pathlib import Path

from kiosk.__main__ import main as kiosk

HERE = Path(__file__).resolve().parent


def main() -> int:
    """Open the station on this tablet's shop; return the exit code."""
    shop = Path(os.environ.get("ANDROID_PRIVATE") or Path.home()) / "press-station"
    log = shop / "station.sqlite3"
    return kiosk(["run", "--on-screen", "--shop", str(shop), str(HERE), "--log", str(log)])


if __name__ == "__main__":
    sys.exit(main())
