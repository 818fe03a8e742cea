"""Two processes write a file at once: each writes it whole, the last wins, nothing is left over.

`rename` replaces at once: POSIX.1-2017, rename(); locks end with a process: flock(2).
"""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from threading import Event

from kiosk.catalog.base.files import write_whole
from kiosk.catalog.roster.forget import NOTE
from kiosk.log.rescue import back_up
from kiosk.log.store import Store

PATIENCE = 120.0  # only ends a wait for something that will never come
ROOT = Path(__file__).resolve().parents[2]
NOTES = """import sys; from pathlib import Path
from kiosk.catalog.roster.forget import note_named_file
folder = Path(sys.argv[1])
sys.stdin.readline()
for nth in range(40): note_named_file(folder, folder / f"{sys.argv[2]}-{nth}.html")"""
KILLED = """import os, sys; from pathlib import Path
from kiosk.catalog.base.files import write_whole
def parts():
    yield b"half"
    os.kill(os.getpid(), 9)
write_whole(Path(sys.argv[1]), parts())"""

ORDERS = """import sys; from pathlib import Path
from kiosk.catalog import roster
from kiosk.catalog.read import read_catalog
jobs, file, catalog = Path(sys.argv[1]), Path(sys.argv[2]), read_catalog(Path("recipes"))[0]
sys.stdin.readline()
for nth in range(100): print(roster.begin(file, jobs, "Order", catalog).folder)"""


class Writer:
    """A thread that writes a file of one letter and pauses in the middle."""

    def __init__(self, pool: ThreadPoolExecutor, path: Path, letter: bytes) -> None:
        self.content = letter * 20_000
        self._half, self._goes_on = Event(), Event()
        self._done: Future[None] = pool.submit(write_whole, path, self._parts())
        assert self._half.wait(PATIENCE)

    def _parts(self) -> Iterator[bytes]:
        yield self.content[:10_000]
        self._half.set()
        assert self._goes_on.wait(PATIENCE)
        yield self.content[10_000:]

    def end(self) -> None:
        self._goes_on.set()
        self._done.result(PATIENCE)


def only(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir()]


def test_the_first_writer_to_finish_writes_its_own_content_whole(tmp_path: Path) -> None:
    path = tmp_path / "shift.html"
    with ThreadPoolExecutor(2) as pool:
        one, other = Writer(pool, path, b"a"), Writer(pool, path, b"b")
        one.end()
        assert path.read_bytes() == one.content
        other.end()
        assert path.read_bytes() == other.content
    assert only(tmp_path) == [path.name]


def test_a_copy_of_the_record_never_uses_another_writers_half_file(tmp_path: Path) -> None:
    folder = tmp_path / "copies"
    folder.mkdir()
    with ThreadPoolExecutor(1) as pool, Store.open(tmp_path / "station.sqlite3") as store:
        other = Writer(pool, folder / "copy", b"a")
        assert back_up(store, folder / "copy") == store.head
        with Store.read_only(folder / "copy") as copy:
            assert copy.station == store.station
        other.end()
    assert only(folder) == ["copy"]


def test_a_killed_writers_leftovers_are_removed_by_the_next_write(tmp_path: Path) -> None:
    path = tmp_path / "shift.html"
    command = [sys.executable, "-c", KILLED, str(path)]
    assert subprocess.run(command, cwd=ROOT, check=False).returncode == -signal.SIGKILL
    assert only(tmp_path) == [".shift.html.new"]
    write_whole(path, b"whole")
    assert only(tmp_path) == [path.name]


def at_once(script: str, *arguments: tuple[str, ...]) -> list[str]:
    """Run a script in several processes that begin together; return each one's output."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    started = [
        subprocess.Popen(
            [sys.executable, "-c", script, *each], cwd=ROOT, env=environment, text=True,
            stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        )
        for each in arguments
    ]  # fmt: skip
    with ThreadPoolExecutor(len(started)) as pool:
        printed = list(pool.map(lambda each: each.communicate("\n")[0], started))
    assert [each.returncode for each in started] == [0] * len(started)
    return printed


def test_every_file_with_names_is_noted_even_with_several_writers(tmp_path: Path) -> None:
    """A file that is not noted would keep its names when the job's names are deleted."""
    at_once(NOTES, *((str(tmp_path), each) for each in ("proof", "picks", "plan")))
    assert len(json.loads((tmp_path / NOTE).read_text())["files"]) == 120
    assert only(tmp_path) == [NOTE]


def test_stations_beginning_orders_with_one_title_get_separate_drafts(tmp_path: Path) -> None:
    files = [tmp_path / f"{each}.csv" for each in ("north", "south", "east")]
    for file in files:
        file.write_text("number,name,size\n7,KOVA,AM\n")
    jobs = tmp_path / "jobs"
    begun = [each.split() for each in at_once(ORDERS, *((str(jobs), str(f)) for f in files))]
    for file, folders in zip(files, begun, strict=True):
        for folder in folders:
            assert [each.name for each in Path(folder).glob("*.csv")] == [file.name]
    assert len(set().union(*begun)) == 300
