"""Where a tablet's package begins: python-for-android starts `main.py` (buildozer.spec).

The shop's files lie beside the program's, which an update replaces: the first start copies the
examples there, and the station works on the copy.
"""

import os
import shutil
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
EXAMPLES = ("recipes", "shared")


def lay_out(home: Path) -> Path:
    """Return the shop's folder in `home`; made from the examples where there is none yet."""
    shop = home / "press-station"
    if not shop.is_dir():
        half = home / "press-station.new"
        shutil.rmtree(half, ignore_errors=True)  # a first start that was cut off
        for folder in EXAMPLES:
            shutil.copytree(HERE / folder, half / folder)
        half.rename(shop)
    return shop


def main() -> int:
    """Open the station on this tablet's shop; return the exit code."""
    os.chdir(lay_out(Path(os.environ.get("ANDROID_PRIVATE") or Path.home())))
    from kiosk.__main__ import main as kiosk  # after the folder is there

    return kiosk(["run", "--on-screen", "--log", str(Path.cwd() / "station.sqlite3")])


if __name__ == "__main__":
    sys.exit(main())
