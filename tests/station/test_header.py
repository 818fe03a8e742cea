"""Settings made before Kivy starts: read in a new process, since they can be made only once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ASK = """
import os, sys
from kiosk.station.glass.open import prepare
assert not any(name.startswith("kivy") for name in sys.modules), "Kivy came first"
prepare()
from kivy.config import Config
print(dict(Config.items("input")))
for section, key in [("kivy", "exit_on_escape"), ("graphics", "fullscreen"),
                     ("graphics", "multisamples"), ("graphics", "allow_screensaver")]:
    print(key, Config.get(section, key))
print("arguments", sys.argv[1:])
"""


def asked(home: Path) -> list[str]:
    """Return what a new process prints, with a user's config that tries to change the settings."""
    (home / "config.ini").write_text("[input]\nmtdev = mtdev\n[kivy]\nexit_on_escape = 1\n")
    environment = {"PATH": "", "KIVY_HOME": str(home), "SDL_VIDEODRIVER": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", ASK, "--help", "-f"],
        env=environment, cwd=ROOT, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    return done.stdout.splitlines()


def test_the_users_config_cannot_add_a_second_source_of_touches(tmp_path: Path) -> None:
    assert asked(tmp_path)[0] == "{'mouse': 'mouse,disable_multitouch'}"


def test_the_kiosk_fills_the_screen_and_no_key_ends_it(tmp_path: Path) -> None:
    assert asked(tmp_path)[1:5] == [
        "exit_on_escape 0",
        "fullscreen auto",
        "multisamples 0",
        "allow_screensaver 0",
    ]


def test_kivy_leaves_the_programs_arguments_alone(tmp_path: Path) -> None:
    assert asked(tmp_path)[5] == "arguments ['--help', '-f']"
