"""From a log to the station's state: the stored one after some event, and the tail since."""

from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from kiosk.catalog.base import dataclass, say
from kiosk.log import facts
from kiosk.log.store import Checkpoint, Damaged, LogFault, Store, codec
from kiosk.run.state import State

_KIOSK = Path(__file__).resolve().parents[2]
_MAKES_STATES = (
    "catalog/base/*.py", "catalog/model/*.py", "plan/**/*.py", "run/**/*.py", "log/**/*.py",
)  # fmt: skip


@lru_cache(maxsize=1)
def code_version() -> str:
    """Return a digest of the source that makes and reads states: another one starts afresh."""
    digest = sha256()
    for pattern in _MAKES_STATES:
        for path in sorted(_KIOSK.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def load_checkpoint(store: Store) -> tuple[int, State] | None:
    """Return the checkpoint's event number and state; None where none holds good for this program.

    Raises Damaged or CannotRecord when the log cannot be read.
    """
    found = store.checkpoint()
    if found is None or found.code != code_version() or found.sum != _sum(found):
        return None
    if found.seq > store.last:  # events that were there are gone
        raise Damaged(say("log.damaged", path=str(store.path), found=f"events {store.last}"))
    try:
        return found.seq, codec.from_json(found.state, State)
    except codec.Unreadable:
        return None


def save_checkpoint(store: Store, state: State) -> None:
    """Store the state after the log's last event.

    Raises CannotRecord or Damaged; nothing is changed then.
    """
    made = Checkpoint(store.last, code_version(), codec.to_json(state), "")
    with store.writing() as connection:
        connection.execute(_upsert("checkpoint", 5), (1, *made[:3], _sum(made)))


def _upsert(table: str, columns: int) -> str:
    return f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * columns)})"


def _sum(checkpoint: Checkpoint) -> str:
    text = f"{checkpoint.seq}|{checkpoint.code}|{checkpoint.state}"
    return sha256(text.encode("utf-8", "surrogateescape")).hexdigest()  # rotten as it may be


@dataclass(frozen=True, slots=True)
class Recovered:
    """The state after the log's last event. `replayed` events came after the checkpoint `since`.

    `since` is 0 where no checkpoint held good. `teller` goes on telling facts, None where they
    could not be put down.
    """

    state: State
    teller: facts.Teller | None
    since: int
    replayed: int


def recover(store: Store, progress: facts.Progress = facts.quiet) -> Recovered:
    """Return where the station is by its log; bring up what is told of it.

    Raises Damaged, Newer or CannotRecord when an event cannot be read.
    """
    since, base = load_checkpoint(store) or (0, State())
    mark = facts.told_until(store)
    if mark is None or not since <= mark.seq <= store.last:
        since, base, mark = 0, State(), None
    telling = Telling(store, mark, progress)
    state = facts.fold(base, store.told(since + 1), telling.teller, telling.put_down)
    return Recovered(state, telling.teller, since, store.last - since)


class Telling:
    """Puts facts down while a log is folded; gives up where they cannot be written."""

    def __init__(self, store: Store, mark: facts.Mark | None, progress: facts.Progress) -> None:
        self._store, self._progress = store, progress
        self.teller: facts.Teller | None = (
            facts.Teller() if mark is None else facts.teller_from(store, mark)
        )
        if mark is None:
            self.put_down(list(facts.statements("main")))

    def put_down(self, ops: list[facts.Op]) -> None:
        """Write the facts of some events in one go."""
        if self.teller is None:
            return
        try:
            with self._store.writing():
                self._store.execute(ops)
        except LogFault:
            self.teller = None
        else:
            self._progress(self.teller.mark.seq, self._store.last)
