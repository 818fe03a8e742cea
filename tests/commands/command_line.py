"""The command line as a test calls it: in this process, or as one of its own."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from contextlib import chdir, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

from kiosk.__main__ import main

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Result:
    code: int
    out: str
    err: str


def kiosk(*arguments: str) -> Result:
    """Run `kiosk ARGUMENTS` in this process, in the project's folder."""
    with chdir(ROOT):
        return kiosk_here(*arguments)


def kiosk_here(*arguments: str) -> Result:
    """Run `kiosk ARGUMENTS` in this process, in the current folder."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = main(arguments)
        except SystemExit as end:
            code = int(str(end.code))
    return Result(code, out.getvalue(), err.getvalue())


def process(*arguments: str) -> Result:
    """Run `python -m kiosk ARGUMENTS` as a process of its own, in the project's folder."""
    done = subprocess.run(
        [sys.executable, "-m", "kiosk", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONUTF8": "1"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    return Result(done.returncode, done.stdout, done.stderr)
