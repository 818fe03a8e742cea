"""Set up a fresh machine and start: `python3 -m kiosk.begin station`, `tests` or `package`.

Uses only Python's standard library, since it runs before anything is installed. On Debian it
installs the missing system packages, or lists them exactly if it lacks the rights.
"""

import ctypes
import importlib.util
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from kiosk import __version__

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
STATION_EXTRA = "[xlsx]"  # orders usually arrive as a workbook

# The Debian package: its name, its folder on a tablet, and the program files' paths there.
TEMPLATES = ROOT / "assets" / "package"
NAME = "press-station-kiosk"
HOME = Path("opt") / NAME
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

# One process more than there are cores, because some tests wait for a server or a killed process. A
# file's tests stay in one process, since some share a played shift. The files run in tree order:
# the longest files hold few tests and would otherwise come last, each alone on one core.
SIDE_BY_SIDE = (os.cpu_count() or 1) + 1
PYTEST = ["pytest", "-q", f"--numprocesses={SIDE_BY_SIDE}", "--dist=loadfile",
          "--no-loadscope-reorder"]  # fmt: skip

# Shared libraries that Kivy's wheel opens at run time, and the Debian package of each.
DRAWING = {"libEGL.so.1": "libegl1", "libGL.so.1": "libgl1", "libmtdev.so.1": "libmtdev1"}
SCREEN = {
    "libXss.so.1": "libxss1",
    "libXi.so.6": "libxi6",
    "libXrandr.so.2": "libxrandr2",
    "libXcursor.so.1": "libxcursor1",
    "libXfixes.so.3": "libxfixes3",
    "libasound.so.2": "libasound2",
}
USAGE = """Usage: python3 -m kiosk.begin station   set up, then open the station on the demo jobs
                                          (with no screen: play the demo, write its pictures)
       python3 -m kiosk.begin tests     set up, then run ruff, mypy and the tests
       python3 -m kiosk.begin package   set up, then make a Debian package in build/"""


def main(arguments: Sequence[str]) -> int:
    """Set up what is missing, then carry out the requested action; return the exit code."""
    if list(arguments) not in (["station"], ["tests"], ["package"]):
        print(USAGE, file=sys.stderr)
        return 2
    for_tests = list(arguments) == ["tests"]
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        print(f"Python 3.11, 3.12 or 3.13 is needed; this is {sys.version.split()[0]}.")
        return 1
    if not install_system(missing_packages(has_screen() and not for_tests, for_tests)):
        return 1
    make_environment(extra="[test]" if for_tests else STATION_EXTRA)
    if list(arguments) == ["package"]:
        return write_package()
    return run_tests() if for_tests else open_station()


def has_screen() -> bool:
    """Whether there is a display to open a window on."""
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def missing_packages(screen: bool, tests: bool = False) -> list[str]:
    """Return the required Debian packages that are not installed."""
    libraries = {**DRAWING, **(SCREEN if screen else {})}
    missing = [package for library, package in libraries.items() if not can_load(library)]
    if importlib.util.find_spec("ensurepip") is None and not (VENV / "bin" / "pip").exists():
        missing.append("python3-venv")
    if tests and shutil.which("espeak-ng") is None:
        missing.append("espeak-ng")  # tests speak every prompt to a file and measure it
    return missing if sys.platform.startswith("linux") else []


def can_load(library: str) -> bool:
    """Whether the shared library can be opened."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def install_system(packages: list[str]) -> bool:
    """Install Debian packages; without rights or apt, print which are needed and return False."""
    if not packages:
        return True
    command = f"apt-get install -y --no-install-recommends {' '.join(packages)}"
    sudo = [] if os.geteuid() == 0 else ["sudo", "-n"]
    if shutil.which("apt-get") and (not sudo or may_sudo()):
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.run([*sudo, "apt-get", "update", "-qq"], check=False, env=environment)
        if subprocess.run([*sudo, *command.split()], check=False, env=environment).returncode == 0:
            return True
    print("These system packages are missing: " + " ".join(packages))
    print("Ask somebody with administrator rights to run (on Debian 12):")
    print(f"    sudo {command}")
    return False


def may_sudo() -> bool:
    """Whether sudo works here without a password."""
    return shutil.which("sudo") is not None and (
        subprocess.run(["sudo", "-n", "true"], check=False, capture_output=True).returncode == 0
    )


def make_environment(extra: str) -> None:
    """Create the environment and install the project, once per change of pyproject.toml."""
    stamp = VENV / f".installed{extra}"
    project = ROOT / "pyproject.toml"
    if not (stamp.exists() and stamp.read_bytes() == project.read_bytes()):
        install(extra)
        stamp.write_bytes(project.read_bytes())
    compile_program(str(VENV / "bin" / "python"))


def install(extra: str) -> None:
    """Install the project and its dependencies, creating the environment if it does not exist."""
    print(f"Installing the libraries into {VENV}: this takes a minute or more", flush=True)
    if not (VENV / "bin" / "pip").exists():
        subprocess.run([sys.executable, "-m", "venv", str(VENV)], check=True)
    pip = [str(VENV / "bin" / "python"), "-m", "pip", "install", "--quiet"]
    subprocess.run([*pip, "--disable-pip-version-check", "-e", f"{ROOT}{extra}"], check=True)


def compile_program(python: str) -> None:
    """Write the program's bytecode; without it each start compiles every file, 0.4 s longer.

    This also covers setups where Python is configured not to write bytecode. Files that are up to
    date are left alone.
    """
    compiling = [python, "-m", "compileall", "-q", str(ROOT / "kiosk")]
    subprocess.run(compiling, check=False)  # in a read-only folder the station starts anyway


def open_station() -> int:
    """Open the demo jobs on the screen; with no screen, play the demo and write its pictures."""
    kiosk = str(VENV / "bin" / "kiosk")
    if has_screen():
        return subprocess.run([kiosk, "run"], cwd=ROOT, check=False).returncode
    pictures = ROOT / "build" / "pictures"
    print(f"No screen here: playing the demo in one size, pictures go to {pictures}")
    print("All sizes: .venv/bin/kiosk demo --shots build/pictures", flush=True)
    demo = [kiosk, "demo", "--shots", str(pictures), "--size", "1280x800"]
    return subprocess.run(demo, cwd=ROOT, check=False).returncode


def write_package() -> int:
    """Make a package that a tablet can install offline; print its path."""
    package = make_package(str(VENV / "bin" / "python"), sorted({**DRAWING, **SCREEN}.values()))
    print(package.relative_to(ROOT))
    return 0


def run_tests() -> int:
    """Run ruff, then mypy and pytest in parallel; return the first nonzero exit code."""
    python = str(VENV / "bin" / "python")
    # Collecting compiles the tests' bytecode once; otherwise each pytest worker would do it.
    collecting = [python, "-m", "pytest", "-q", "--collect-only"]
    with subprocess.Popen(collecting, cwd=ROOT, stdout=subprocess.DEVNULL) as collected:
        for tool in (["ruff", "check", "."], ["ruff", "format", "--check", "."]):
            print("$", " ".join(tool), flush=True)
            code = subprocess.run([python, "-m", *tool], cwd=ROOT, check=False).returncode
            if code:
                return code
        with subprocess.Popen([python, "-m", "mypy"], cwd=ROOT, stdout=subprocess.PIPE) as types:
            collected.wait()
            print("$", " ".join(PYTEST), flush=True)
            with subprocess.Popen([python, "-m", *PYTEST], cwd=ROOT) as tests:
                report = types.communicate()[0].decode()
                if types.returncode:
                    tests.send_signal(signal.SIGINT)  # like Ctrl-C, so that pytest cleans up
                code = types.returncode or tests.wait()
        print(f"$ mypy\n{report}", end="", flush=True)
    return code


def make_package(python: str, libraries: list[str]) -> Path:
    """Build the package into `build/` and return its path.

    `python` is an interpreter with pip, `libraries` the Debian packages that a screen needs. Raises
    subprocess.CalledProcessError if a wheel or dpkg-deb is not available.
    """
    tree = ROOT / "build" / "package"
    shutil.rmtree(tree, ignore_errors=True)
    lay_out(tree, control(architecture(), libraries))
    wheels = [python, "-m", "pip", "download", "--quiet", "--only-binary=:all:"]
    home = tree / HOME
    subprocess.run(
        [*wheels, "-d", str(home / "wheels"), "-r", str(home / "requirements.txt")], check=True
    )
    package = ROOT / "build" / f"{NAME}_{__version__}_{architecture()}.deb"
    subprocess.run(
        ["dpkg-deb", "--root-owner-group", "--build", str(tree), str(package)], check=True
    )
    return package


def lay_out(tree: Path, control_text: str) -> None:
    """Write the packaged files, except the wheels, to `tree` as laid out on the tablet."""
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
    """Return the libraries of every command: all extras except the tests' one."""
    import tomllib  # not at the top: an older Python must get as far as the version message

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    named = (library for extra, needs in extras.items() if extra != "test" for library in needs)
    return [*project["dependencies"], *named]


def control(processor: str, libraries: list[str]) -> str:
    """Return the package's control file; the wheels fit only this minor version of Python."""
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
    """Return Debian's name for this machine's processor architecture."""
    answer = subprocess.run(
        ["dpkg", "--print-architecture"], check=True, capture_output=True, text=True
    )
    return answer.stdout.strip()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
