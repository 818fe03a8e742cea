"""Entry point of the tablet package: python-for-android starts `main.py` (buildozer.spec).

The packaged shop files sit next to the program and are replaced by an update, so the first start
copies the examples into the app's home folder and the station works on that copy.
"""

import os
import shutil
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
EXAMPLES = ("recipes", "shared")


def lay_out(home: Path) -> Path:
    """Return the shop's folder in `home`, creating it from the examples if it does not exist."""
    shop = home / "press-station"
    if not shop.is_dir():
        half = home / "press-station.new"
        shutil.rmtree(half, ignore_errors=True)  # left over from an interrupted first start
        for folder in EXAMPLES:
            shutil.copytree(HERE / folder, half / folder)
        half.rename(shop)
    return shop


def main() -> int:
    """Open the station on this tablet's shop; return the exit code."""
    os.chdir(lay_out(Path(os.environ.get("ANDROID_PRIVATE") or Path.home())))
    from kiosk.__main__ import main as kiosk  # imported only once the folder exists

    return kiosk(["run", "--on-screen", "--log", str(Path.cwd() / "station.sqlite3")])


if __name__ == "__main__":
    sys.exit(main())
