"""A short run of each fuzzer, always with one seed; the long: `python -m tests.fuzz --long`."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TIMES = {"commands": 20, "shop": 1000, "damage": 25, "inputs": 200, "readers": 15, "touches": 2}


@pytest.mark.parametrize("fuzzer", TIMES)
def test_a_short_run_finds_nothing(fuzzer: str) -> None:
    command = ["-m", "tests.fuzz", fuzzer, "--seed", "1", "--times", str(TIMES[fuzzer])]
    done = subprocess.run(
        [sys.executable, *command], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{fuzzer}: seed 1, {TIMES[fuzzer]} of {TIMES[fuzzer]}" in done.stdout
