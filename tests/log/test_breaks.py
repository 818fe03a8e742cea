"""What a shop does to a station: full disks, read-only folders, changed clocks, reboots."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from log_damage import no_file_grows_beyond
from log_samples import at
from log_station import Station

from kiosk.log.record.recorder import Recorder
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.run.state import commands as c
from kiosk.run.state.events import OutcomeUnknown, TimeUp
from kiosk.words import Words

HERE = Path(__file__).resolve().parent

CAN_MOUNT = (
    sys.platform == "linux"
    and subprocess.run(
        ["unshare", "-rm", "mount", "-t", "tmpfs", "none", "/mnt"], check=False, capture_output=True
    ).returncode
    == 0
)
mounting = pytest.mark.skipif(not CAN_MOUNT, reason="no right to a mount of one's own here")


def in_a_mount(mount: str, script: str, folder: Path) -> str:
    """Run a script that sees `folder` through `mount`; return what it printed."""
    command = f'{mount} && exec "$0" -c "$1" "$2"'
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", command.format(folder=folder), sys.executable,
         f"import sys; sys.path.insert(0, {str(HERE)!r})\n{script}", str(folder)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_full_disk_stops_no_clock_and_loses_no_event(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.forward()
    tail = station.path.with_name(station.path.name + "-wal")
    with no_file_grows_beyond(tail.stat().st_size):
        ended = station.time_up()
        assert any(isinstance(event, TimeUp) for event in ended.events)
        assert not ended.recorded
        station.forward()
        station.time_up()
        assert station.recorder.unrecorded == len(ended.events) + 3
        assert station.recorder.fault is not None
        assert station.path.name in Words().say(station.recorder.fault.message)
    assert station.recorder.retry()
    state = station.recorder.state
    station.recorder.close()
    assert verify(station.path).ok
    again = Recorder(Store.open(station.path))
    assert again.state == state
    again.store.close()


FULL_DISK = """
from pathlib import Path
from log_station import Station
from kiosk.log.verify import verify
from kiosk.words import Words
folder = Path(sys.argv[1])
station = Station(folder / "station.sqlite3")
station.begin()
station.forward()
filler = (folder / "filler").open("wb", buffering=0)
try:
    while True:
        filler.write(b"x" * 4096)
except OSError:
    pass
print(station.time_up().recorded, station.recorder.unrecorded)
print(Words().say(station.recorder.fault.message))
filler.truncate(0)
print(station.recorder.retry(), station.recorder.unrecorded)
station.recorder.close()
print(verify(station.path).ok)
"""


@mounting
def test_a_full_disk_is_called_a_full_disk(tmp_path: Path) -> None:
    printed = in_a_mount("mount -t tmpfs -o size=2m none {folder}", FULL_DISK, tmp_path)
    unwritten, sentence, written, whole = printed.splitlines()
    assert unwritten == "False 1"
    assert sentence.endswith("the disk is full.")
    assert (written, whole) == ("True 0", "True")


FULL_START = """
from pathlib import Path
from log_station import Station
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.words import Words
folder = Path(sys.argv[1])
station = Station(folder / "station.sqlite3")
station.begin()
station.recorder.close()
with (folder / "filler").open("wb", buffering=0) as filler:
    try:
        while True:
            filler.write(b"x" * 4096)
    except OSError:
        pass
try:
    Store.open(folder / "station.sqlite3")
except CannotRecord as fault:
    print(Words().say(fault.message))
(folder / "filler").unlink()
print(Store.open(folder / "station.sqlite3").last == station.recorder.last)
"""


@mounting
def test_a_full_disk_at_a_start_is_called_a_full_disk_too(tmp_path: Path) -> None:
    """SQLite has no space for a tail's index then, and reports a disk error."""
    printed = in_a_mount("mount -t tmpfs -o size=2m none {folder}", FULL_START, tmp_path)
    told, goes_on = printed.splitlines()
    assert told.endswith("station.sqlite3: the disk is full.")
    assert goes_on == "True"


READ_ONLY = """
from pathlib import Path
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.words import Words
folder = Path(sys.argv[1])
for name in ("station.sqlite3", "none-yet.sqlite3"):
    try:
        Store.open(folder / name)
    except CannotRecord as fault:
        print(Words().say(fault.message))
print(verify(folder / "station.sqlite3").ok)
"""


@mounting
def test_a_read_only_folder_is_reported_and_its_log_can_be_read(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.recorder.close()
    mount = "mount --bind {folder} {folder} && mount -o remount,bind,ro {folder}"
    printed = in_a_mount(mount, READ_ONLY, tmp_path)
    old, new, whole = printed.splitlines()
    assert "read-only" in old
    assert "read-only" in new
    assert whole == "True"


READ_BESIDE = """
from pathlib import Path
from kiosk.log.store.errors import CannotRecord
from kiosk.log.store.store import Store
from kiosk.words import Words
for opened in (Store.read_only, Store.open):
    try:
        opened(Path(sys.argv[1]) / "station.sqlite3")
    except CannotRecord as fault:
        print(Words().say(fault.message))
"""


@mounting
def test_a_copied_log_with_a_tail_in_a_read_only_folder_says_what_to_do(tmp_path: Path) -> None:
    """SQLite can only read a tail if it can create its index (sqlite.org/wal.html, 5)."""
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    folder = station.as_killed().parent
    station.recorder.close()
    mount = "mount --bind {folder} {folder} && mount -o remount,bind,ro {folder}"
    reading, recording = in_a_mount(mount, READ_BESIDE, folder).splitlines()
    assert reading == (
        f"The record {folder / 'station.sqlite3'} cannot be read: its last events are in a second "
        "file beside it (station.sqlite3-wal), and this place is read-only; copy both to a place "
        "that can be written and read them there."
    )
    assert recording.endswith("this place is read-only; the record needs one that can be written.")


def test_an_unreadable_record_is_reported_as_unreadable(tmp_path: Path) -> None:
    """A reader's message is not about recording."""
    path = tmp_path / ("x" * 300)  # fails for root too, who has every right
    with pytest.raises(CannotRecord) as caught:
        Store.read_only(path)
    assert Words().say(caught.value.message) == (
        f"The record {path} cannot be read: the file or its folder cannot be opened."
    )


def test_a_folder_that_cannot_be_made_is_reported(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    with pytest.raises(CannotRecord):
        Store.open(tmp_path / "file" / "station.sqlite3")


def test_after_a_reboot_the_outcome_of_a_garment_in_heat_is_unknown(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.forward()
    killed = Recorder(Store.open(station.as_killed()))
    rebooted = at(12.0, boot="next-boot", wall=station.now.wall + 3.0)
    events = killed.do(c.Start("0.1.0"), rebooted).events
    assert any(isinstance(event, OutcomeUnknown) for event in events)
    assert killed.state.open_first
    killed.store.close()
    station.recorder.close()


def test_after_a_crash_in_the_same_boot_the_countdown_goes_on(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.forward()
    heat = station.recorder.state.heat
    killed = Recorder(Store.open(station.as_killed()))
    killed.do(c.Start("0.1.0"), at(station.clock + 2.0))
    assert killed.state.heat == heat
    killed.store.close()
    station.recorder.close()


def test_a_wall_clock_set_back_by_a_day_between_two_starts_breaks_nothing(tmp_path: Path) -> None:
    station = Station(tmp_path / "station.sqlite3")
    station.begin()
    station.press_to_rack()
    station.recorder.close()
    again = Recorder(Store.open(station.path))
    yesterday = at(20.0, boot="next-boot", wall=station.now.wall - 86_400.0)
    assert again.do(c.Start("0.1.0"), yesterday).recorded
    assert again.do(c.Tick(), at(21.0, boot="next-boot", wall=yesterday.wall + 1.0)).refusal is None
    again.close()
    assert verify(station.path).ok
