"""The shop's files at the station: changes found in them, old names deleted."""

import json
from collections.abc import Callable, Collection, Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from kiosk.catalog.base import (
    BrokenSideFile,
    Message,
    Notes,
    Unsound,
    dataclass,
    matching,
    read_bytes,
    read_side_file,
    say,
    values_by_path,
    write_whole,
)
from kiosk.catalog.read import holds_job
from kiosk.catalog.roster import CannotForget, Forgotten, forget_names
from kiosk.run.facts import jobs_to_forget
from kiosk.run.state import Change, DeleteNames, NoteRecipes, Now, State
from kiosk.station.desk.desk import Desk

MOST_BYTES = 16_000_000  # all values of a large shop's files
MOST_CHANGES = 40  # listed one by one in an event; all of them are counted

Values = Mapping[str, Mapping[str, str]]


class Files:
    """Watches the recipes folder of the desk's library.

    The log holds the digest of the files and what changed. The values themselves are in a file
    beside the log, to compare with next time; without it only the fact of a change is known.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._folder = desk.library.recipes
        self._values_path = desk.shell.recorder.store.path.with_suffix(".recipes.json")

    def record_changes(self, on_screen: bool = False) -> None:
        """Record what changed in the files since they were last read."""
        shell = self._desk.shell
        contents = self._contents()
        digest = digest_of(contents)
        if digest == shell.state.recipes:
            return
        found = {name: _values(data) for name, data in contents.items()}
        before = self._before(shell.state.recipes)
        changes = () if before is None else changes_between(before, found)
        shell.do(NoteRecipes(digest, changes[:MOST_CHANGES], len(changes), on_screen))
        self._save(digest, found)

    def _contents(self) -> dict[str, bytes]:
        found = {}
        for path in matching(self._folder, "*.y*ml"):
            with suppress(Unsound):  # the checker shows it on its pages
                found[path.name] = read_bytes(path, Notes(path.name))
        return found

    def _before(self, digest: str) -> Values | None:
        try:
            return saved_values(self._values_path, digest)
        except BrokenSideFile:
            self._desk.shell.say(
                say("station.recipes_kept_broken", path=self._values_path.name), lasting=True
            )
            return None

    def _save(self, digest: str, values: Values) -> None:
        try:
            content = json.dumps({"digest": digest, "values": values}, ensure_ascii=False)
            write_whole(self._values_path, content.encode())
        except OSError:
            return  # the log has the digest: only the next change loses its details


def digest_of(contents: Mapping[str, bytes]) -> str:
    """Return the SHA-256 (hex) of files by name and content."""
    total = sha256()
    for name, data in sorted(contents.items()):
        total.update(f"{name}\n{len(data)}\n".encode())
        total.update(data)
    return total.hexdigest()


def changes_between(before: Values, after: Values) -> tuple[Change, ...]:
    """Return every changed value, file by file in the order of their keys."""
    found = []
    for name in sorted({*before, *after}):
        old, new = before.get(name, {}), after.get(name, {})
        for key in sorted({*old, *new}):
            if old.get(key, "") != new.get(key, ""):
                found.append(Change(name, key, old.get(key, ""), new.get(key, "")))
    return tuple(found)


def saved_values(path: Path, digest: str) -> Values | None:
    """Return the values kept with this digest, or None; raises BrokenSideFile."""
    try:
        saved = read_side_file(path, MOST_BYTES)
    except FileNotFoundError:
        return None
    values = _as_values(saved.get("values"))
    return values if saved.get("digest") == digest else None


def _as_values(saved: object) -> Values:
    if not isinstance(saved, dict):
        raise BrokenSideFile("no values")
    for each in saved.values():
        if not isinstance(each, dict) or not all(isinstance(v, str) for v in each.values()):
            raise BrokenSideFile("no values")
    return saved


def _values(data: bytes) -> dict[str, str]:
    text = data.decode("utf-8-sig", errors="replace")
    return {".".join(path): value for path, value in values_by_path(text).items()}


@dataclass(frozen=True, slots=True)
class Receipt:
    """Result of deleting a job's names: `count` deleted, or the `problem` that prevented it.

    `left` names what may still hold some and is out of reach.
    """

    job: str
    count: int
    problem: Message | None = None
    left: tuple[Message, ...] = ()

    @property
    def message(self) -> Message:
        """The message to show people."""
        result = self.problem or say("station.names_deleted", job=self.job, count=self.count)
        return say("station.names_left", told=result, left=self.left) if self.left else result


def dispose(
    jobs: Path,
    state: State,
    do: Callable[[DeleteNames], object],
    now: Now,
    gone: Collection[str] = (),
) -> tuple[Receipt, ...]:
    """Delete the names of every job closed 30 or more days ago; record each by `do`.

    A job is where its start record says, else under its name in `jobs`. One that is not there, or
    cannot be written or read, stays due: a shared folder may only be away. For the jobs in `gone` a
    person has stated that their folders were deleted, names and all.
    """
    return tuple(
        _dispose_one(job, _folder(job, jobs, state), do, job in gone)
        for job in jobs_to_forget(state, now.wall)
    )


def _dispose_one(
    job: str, folder: Path, do: Callable[[DeleteNames], object], is_gone: bool
) -> Receipt:
    try:
        found = forget_names(folder)
    except CannotForget as problem:
        if not is_gone or holds_job(folder):
            return Receipt(job, 0, problem.message)
        found = Forgotten(0)
    do(DeleteNames(job, found.count))
    return Receipt(job, found.count, left=found.warnings)


def _folder(job: str, jobs: Path, state: State) -> Path:
    recorded = state.folders.get(job, "")
    places = (*([Path(recorded)] if recorded else []), jobs / job)
    return next(filter(holds_job, places), places[0])
