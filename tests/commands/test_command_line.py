"""The command line as a whole: help, pipes, Ctrl-C."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from command_line import ROOT, kiosk

from kiosk import __version__

COMMANDS = ("run", "check", "plan", "simulate", "log", "report", "demo")


def test_help_names_every_command_and_the_exit_codes() -> None:
    result = kiosk("--help")
    assert result.code == 0
    for word in (*COMMANDS, "Exit codes", "cannot be pressed"):
        assert word in result.out


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help_and_takes_recipes(command: str) -> None:
    result = kiosk(command, "--help")
    assert result.code == 0
    assert "--recipes DIR" in result.out


def test_the_console_script_shows_the_same_help() -> None:
    script = Path(sys.executable).with_name("kiosk")
    if not script.exists():
        pytest.skip("the project is not installed here")
    done = subprocess.run([script, "--help"], capture_output=True, text=True, check=True)
    assert "COMMAND" in done.stdout


@pytest.mark.parametrize("arguments", [["plan", "swim-school"], ["--help"]])
@pytest.mark.parametrize("buffering", [[], ["-u"]])
def test_a_closed_pipe_ends_without_a_traceback(arguments: list[str], buffering: list[str]) -> None:
    kiosk = subprocess.Popen(
        [sys.executable, *buffering, "-m", "kiosk", *arguments],
        cwd=ROOT,
        env={k: v for k, v in os.environ.items() if k != "PYTHONUNBUFFERED"},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert kiosk.stdout is not None
    assert kiosk.stderr is not None
    kiosk.stdout.close()
    error = kiosk.stderr.read()
    kiosk.stderr.close()
    # argparse ignores a failure to write its help
    assert kiosk.wait() in ({0, 141} if arguments == ["--help"] else {141})
    assert error == b""


def test_a_command_succeeds_without_stdout() -> None:
    code = (
        "import sys; sys.stdout = None; from kiosk.__main__ import main; sys.exit(main(['check']))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize("buffering", [[], ["-u"]])
def test_a_full_disk_behind_stdout_is_a_clear_fault(buffering: list[str]) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, *buffering, "-m", "kiosk", "plan", "raft-polo"],
            cwd=ROOT,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr == "The output cannot be written: No space left on device\n"


def ends_without_a_traceback(code: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 128 + signal.SIGINT
    assert done.stderr == ""


def test_ctrl_c_during_imports_ends_without_a_traceback() -> None:
    code = (
        "import sys, os, signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
        "sys.addaudithook(lambda event, what: event == 'import' and"
        " what[0] == 'kiosk.commands.arguments' and os.kill(os.getpid(), signal.SIGINT));"
        "from kiosk.__main__ import main; sys.exit(main(['check']))"
    )
    ends_without_a_traceback(code)


def test_ctrl_c_ends_without_a_traceback() -> None:
    code = (
        "import sys, os, signal; from kiosk import __main__ as m; from kiosk.commands import load;"
        # A shell's background jobs ignore it.
        "signal.signal(signal.SIGINT, signal.default_int_handler);"
        "load.run = lambda asked: os.kill(os.getpid(), signal.SIGINT);"
        "sys.exit(m.main(['check']))"
    )
    ends_without_a_traceback(code)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("report --from 2026-13-01", 'write a day as 2026-03-15; found "2026-13-01"'),
        ("report --busy-time x", 'write a time as 480min or 8h; found "x"'),
        ("report --busy-time nanh", 'write a time as 480min or 8h; found "nanh"'),
        ("report --busy-time 1e999min", 'write a time as 480min or 8h; found "1e999min"'),
        ("report --busy-time 0h", 'write a time as 480min or 8h; found "0h"'),
        ("report --garment raft-polo", 'write JOB/NUMBER, as raft-polo/07; found "raft-polo"'),
        ("log --tail -3", 'write a whole number, 0 or more; found "-3"'),
        ("log --expect 3", 'as it was printed, 1234:9f3a-07c2-51de-88b0; found "3"'),
        ("simulate raft-polo --seed x", 'write a whole number; found "x"'),
        ("board --port 99999", 'write a port, 0 to 65535; found "99999"'),
        ("shop", "required: init|add|status"),
    ],
)  # fmt: skip
def test_a_wrong_option_value_is_answered_with_a_valid_form(typed: str, message: str) -> None:
    result = kiosk(*typed.split())
    assert result.code == 2
    assert message in result.err


def test_a_spanish_shop_gets_usage_errors_in_spanish(tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text("station: {language: es}\n", "utf-8")
    result = kiosk("report", "--from", "ayer", "--recipes", str(tmp_path))
    assert 'escribir un día así: 2026-03-15; se encontró "ayer"' in result.err


def test_version_shows_the_packages_version() -> None:
    result = kiosk("--version")
    assert (result.code, result.out) == (0, f"kiosk {__version__}\n")


@pytest.mark.skipif(any(Path("/dev/dri").glob("card*")), reason="a window could be opened here")
def test_without_a_screen_the_station_says_so_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    result = kiosk("run", "--log", str(tmp_path / "log.sqlite3"))
    assert result.code == 1
    assert "No screen" in result.err
    assert "kiosk demo --shots" in result.err
    assert list(tmp_path.iterdir()) == []


def test_a_tablets_package_has_a_screen_without_a_display(monkeypatch: pytest.MonkeyPatch) -> None:
    """python-for-android sets ANDROID_ARGUMENT (its documentation, from memory) and no display."""
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("ANDROID_ARGUMENT", "/data/app")
    result = kiosk("run", "no-such-job")
    assert "no-such-job" in result.err
    assert "No screen" not in result.err
