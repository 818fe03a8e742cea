"""From a log to the station's state at a start: a stored state, then the events after it."""

from functools import lru_cache
from hashlib import sha256
from math import inf
from pathlib import Path

from kiosk.catalog.base import dataclass, say
from kiosk.log import facts
from kiosk.log.record.rereading import FactWriter, Rereading
from kiosk.log.store import Checkpoint, Damaged, Store, codec
from kiosk.run.state import State

_KIOSK = Path(__file__).resolve().parents[2]
_MAKES_STATES = (
    "catalog/base/*.py", "catalog/model/*.py", "plan/**/*.py", "run/**/*.py", "log/**/*.py",
)  # fmt: skip


@lru_cache(maxsize=1)
def code_version() -> str:
    """Return a digest of the source that makes and reads states; a new one voids checkpoints."""
    digest = sha256()
    for pattern in _MAKES_STATES:
        for path in sorted(_KIOSK.glob(pattern)):
            digest.update(path.read_bytes())
    return digest.hexdigest()


def load_checkpoint(store: Store) -> tuple[int, State] | None:
    """Return the checkpoint's event number and state, or None if none is valid for this program.

    Raises Damaged or CannotRecord when the log cannot be read.
    """
    return _loaded(store, own=True)


def _loaded(store: Store, own: bool) -> tuple[int, State] | None:
    """Return a sound checkpoint, with `own` only if this program made it; None if there is none."""
    found = store.checkpoint()
    if found is None or found.sum != _sum(found) or (own and found.code != code_version()):
        return None
    if found.seq > store.last:  # events recorded before are gone
        raise Damaged(say("log.damaged", path=str(store.path), found=f"events {store.last}"))
    try:
        return found.seq, codec.from_json(found.state, State)
    except codec.Unreadable:
        return None


ANOTHERS = "another program's"  # and not yet checked against the record


def save_checkpoint(store: Store, state: State, lifted: bool = False) -> None:
    """Store the state after the log's last event; `lifted` if it rests on another program's.

    Raises CannotRecord or Damaged; nothing is changed then.
    """
    code = ANOTHERS if lifted else code_version()
    checkpoint = Checkpoint(store.last, code, codec.to_json(state), "")
    with store.writing() as connection:
        connection.execute(_upsert("checkpoint", 5), (1, *checkpoint[:3], _sum(checkpoint)))


def _upsert(table: str, columns: int) -> str:
    return f"INSERT OR REPLACE INTO {table} VALUES ({', '.join('?' * columns)})"


def _sum(checkpoint: Checkpoint) -> str:
    text = f"{checkpoint.seq}|{checkpoint.code}|{checkpoint.state}"
    return sha256(text.encode("utf-8", "surrogateescape")).hexdigest()  # the text may be damaged


@dataclass(frozen=True, slots=True)
class Recovery:
    """The state after the log's last event. `replayed` events came after the checkpoint `since`.

    `since` is 0 if no checkpoint was valid. `deriver` derives the facts of later events; None if
    facts could not be written.
    """

    state: State
    deriver: facts.FactDeriver | None
    since: int
    replayed: int
    rereading: Rereading | None = None


def recover(store: Store, progress: facts.Progress = facts.quiet, at_once: float = inf) -> Recovery:
    """Return the station's state from its log, and bring its facts up to date.

    If more than `at_once` events would have to be read again, the state starts from another
    program's checkpoint, if there is one, and the reading is left to `rereading`. Raises Damaged,
    Newer or CannotRecord when an event cannot be read.
    """
    own, mark = load_checkpoint(store), facts.facts_mark(store)
    since, base = own or (0, State())
    has_facts = mark is not None and since <= mark.seq <= store.last
    if store.last > at_once and (own is None or not has_facts):
        checkpoint = _loaded(store, own=False)
        if checkpoint is not None:
            return _from_another_program(store, *checkpoint, mark)
    if not has_facts:
        since, base, mark = 0, State(), None
    writer = FactWriter(store, mark, progress)
    state = facts.fold(base, store.entries(since + 1), writer.deriver, writer.put_down)
    return Recovery(state, writer.deriver, since, store.last - since)


def _from_another_program(
    store: Store, since: int, base: State, mark: facts.FactMark | None
) -> Recovery:
    """Start from another program's state, continuing its facts if they reach far enough."""
    if mark is not None and since <= mark.seq <= store.last:
        writer, rereading = FactWriter(store, mark), Rereading(store, mark, with_facts=False)
        state = facts.fold(base, store.entries(since + 1), writer.deriver, writer.put_down)
        return Recovery(state, writer.deriver, since, store.last - since, rereading)
    usable = mark if mark is not None and mark.seq <= store.last else None
    state = facts.fold(base, store.entries(since + 1))
    return Recovery(
        state, None, since, store.last - since, Rereading(store, usable, with_facts=True)
    )
