"""The command line as a test calls it: in this process, or as one of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from kiosk.__main__ import main

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Said:
    code: int
    out: str
    err: str


Run = Callable[..., Said]


@pytest.fixture
def kiosk(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run `kiosk ARGUMENTS` in this process, in the project's folder."""
    monkeypatch.chdir(ROOT)

    def run(*arguments: str) -> Said:
        try:
            code = main(arguments)
        except SystemExit as end:
            code = int(str(end.code))
        said = capsys.readouterr()
        return Said(code, said.out, said.err)

    return run


@pytest.fixture
def process() -> Run:
    """Run `python -m kiosk ARGUMENTS` as a process of its own, in the project's folder."""

    def run(*arguments: str) -> Said:
        done = subprocess.run(
            [sys.executable, "-m", "kiosk", *arguments],
            cwd=ROOT,
            env={**os.environ, "PYTHONUTF8": "1"},
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        return Said(done.returncode, done.stdout, done.stderr)

    return run
