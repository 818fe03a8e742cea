"""An event that goes bad on the disk is reported on the screen within the shift."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from station_driver import Person, small
from station_harness import Bench


def spoil(log: Path, seq: int) -> None:
    """Change a byte of an old event from another process, as a failing disk would."""
    with sqlite3.connect(log) as connection:
        connection.execute("DROP TRIGGER events_are_never_changed")
        connection.execute("UPDATE events SET clock = clock + 1 WHERE seq = ?", [seq])
    connection.close()


def test_rot_is_reported_while_nobody_taps_and_recording_goes_on(
    bench: Bench, tmp_path: Path
) -> None:
    person: Person = small(bench, tmp_path)
    recorder = person.station.shell.recorder
    spoil(recorder.store.path, 2)
    bench.pass_time(60.0)
    assert "Event 2 of the record is damaged on the disk." in " ".join(person.texts().split())
    assert person.station.shell.patrol.found == (2,)
    before = recorder.last
    person.to_heat()
    assert recorder.last > before
    assert recorder.unrecorded == 0
    person.close()


def test_a_deleted_log_is_reported_with_the_new_files_name_and_not_as_rot(
    bench: Bench, tmp_path: Path
) -> None:
    person: Person = small(bench, tmp_path)
    recorder = person.station.shell.recorder
    recorder.store.path.unlink()
    bench.pass_time(60.0)
    said = person.texts()
    assert recorder.kept is not None
    assert str(recorder.kept.path) in said
    assert "Finish this garment, then restart the station." in said
    assert "cannot be read" not in said
    person.close()
