"""The clocks, and where a log belongs."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

import pytest

from kiosk.log import default_log
from kiosk.log.store import clock


def test_time_never_runs_backwards() -> None:
    first, second = clock.now(), clock.now()
    assert second.clock >= first.clock
    assert second.boot == first.boot


def test_the_boot_id_is_the_kernels_if_it_has_one() -> None:
    source = Path("/proc/sys/kernel/random/boot_id")
    if not source.exists():
        pytest.skip("this system gives no boot id")
    assert clock.now().boot == source.read_text().strip()


def test_two_programs_agree_on_clock_and_boot_id() -> None:
    before = clock.now()
    script = "from kiosk.log.store import now; n = now(); print(n.boot, n.clock)"
    other = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    boot, seconds = other.stdout.split()
    assert boot == before.boot
    assert before.clock <= float(seconds) <= clock.now().clock


def test_without_a_kernel_boot_id_one_is_made_up(tmp_path: Path) -> None:
    made_up = clock.boot.__wrapped__(tmp_path / "no-such-file")
    assert made_up.startswith("minute-")


def test_the_clock_counts_sleep_if_the_system_can() -> None:
    boottime = getattr(time, "CLOCK_BOOTTIME", None)
    if boottime is None:
        pytest.skip("this system has no clock that is known to count sleep")
    assert abs(clock.steady() - time.clock_gettime(boottime)) < 1.0


def test_the_log_belongs_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    if sys.platform != "linux":
        pytest.skip("the variable that names the folder is Linux's")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_log() == tmp_path / "press-station-kiosk" / "station.sqlite3"
    assert not any(tmp_path.iterdir())
