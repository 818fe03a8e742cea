"""Makes a Debian package of the station: `python3 -m kiosk.begin package`.

It holds the program, the example shop and every library as a wheel, so that a tablet installs it
without a network. The wheels are those of the machine it is made on: its processor, its Python.
"""

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

from kiosk import __version__

ROOT = Path(__file__).resolve().parents[1]
TEMPLATES = ROOT / "assets" / "package"
NAME = "press-station-kiosk"
HOME = Path("opt") / NAME
# Program files, and where they belong on the tablet.
PLACES = {
    "kiosk": ("usr/bin/kiosk", 0o755),
    "press-station": ("usr/bin/press-station", 0o755),
    "press-station.desktop": ("usr/share/applications/press-station.desktop", 0o644),
    "press-station.svg": ("usr/share/icons/hicolor/scalable/apps/press-station.svg", 0o644),
    "copyright": (f"usr/share/doc/{NAME}/copyright", 0o644),
    "postinst": ("DEBIAN/postinst", 0o755),
    "prerm": ("DEBIAN/prerm", 0o755),
}
UNUSED = shutil.ignore_patterns("__pycache__", "make.py", "pictures", "package", ".claimed")


def make_package(python: str, libraries: list[str]) -> Path:
    """Build the package into `build/` and return its path.

    `python` is an interpreter with pip, `libraries` the Debian packages that a screen needs.
    Raises subprocess.CalledProcessError where a wheel or dpkg-deb is not to be had.
    """
    tree = ROOT / "build" / "package"
    shutil.rmtree(tree, ignore_errors=True)
    lay_out(tree, control(architecture(), libraries))
    wheels = [python, "-m", "pip", "download", "--quiet", "--only-binary=:all:"]
    home = tree / HOME
    subprocess.run(
        [*wheels, "-d", str(home / "wheels"), "-r", str(home / "requirements.txt")], check=True
    )
    made = ROOT / "build" / f"{NAME}_{__version__}_{architecture()}.deb"
    subprocess.run(["dpkg-deb", "--root-owner-group", "--build", str(tree), str(made)], check=True)
    return made


def lay_out(tree: Path, control_text: str) -> None:
    """Write all that is packed, but for the wheels, to `tree` as it will lie on the tablet."""
    home = tree / HOME
    for part in ("kiosk", "assets"):
        shutil.copytree(ROOT / part, home / "app" / part, ignore=UNUSED)
    for part in ("recipes", "shared"):
        shutil.copytree(ROOT / part, home / "shop" / part, ignore=UNUSED)
    (home / "requirements.txt").write_text("\n".join(requirements()) + "\n", "utf-8")
    for name, (place, mode) in PLACES.items():
        (tree / place).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(TEMPLATES / name, tree / place)
        (tree / place).chmod(mode)
    (tree / "DEBIAN" / "control").write_text(control_text, "utf-8")


def requirements() -> list[str]:
    """Return the libraries of every command: those of workbooks and of pictures too."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    return [*project["dependencies"], *extras["xlsx"], *extras["pictures"]]


def control(processor: str, libraries: list[str]) -> str:
    """Return the package's control file; the wheels fit one minor version of Python only."""
    minor = sys.version_info.minor
    needs = [f"python3 (>= 3.{minor})", f"python3 (<< 3.{minor + 1})", "python3-venv", *libraries]
    return (
        f"Package: {NAME}\n"
        f"Version: {__version__}\n"
        f"Architecture: {processor}\n"
        "Section: misc\n"
        "Priority: optional\n"
        "Maintainer: The press-station kiosk's contributors <kiosk@localhost>\n"
        f"Depends: {', '.join(needs)}\n"
        "Recommends: espeak-ng\n"
        "Description: The plan and the clock beside a flat heat press\n"
        " Steps through names and numbers on team garments, shows the countdown and the\n"
        " peel, and records each garment at a tap or a press of a pedal.\n"
    )


def architecture() -> str:
    """Return Debian's word for this machine's processor."""
    asked = subprocess.run(
        ["dpkg", "--print-architecture"], check=True, capture_output=True, text=True
    )
    return asked.stdout.strip()
