"""Re-reads a long record in the background after an update, some events at a time."""

from collections.abc import Iterator

from kiosk.log import facts
from kiosk.log.store import LogFault, Store
from kiosk.run.state import State

PIECE = 60
"""Events read at a time, taking about a hundredth of a second."""


class FactWriter:
    """Writes facts while a log is folded; gives up if they cannot be written."""

    def __init__(
        self, store: Store, mark: facts.FactMark | None, progress: facts.Progress = facts.quiet
    ) -> None:
        self._store, self._progress = store, progress
        self.deriver: facts.FactDeriver | None = (
            facts.FactDeriver() if mark is None else facts.deriver_from(store, mark)
        )
        if mark is None:
            self.put_down(list(facts.statements("main")))

    def put_down(self, ops: list[facts.Statement]) -> None:
        """Write the facts of some events in one transaction."""
        if self.deriver is None:
            return
        try:
            with self._store.writing():
                self._store.execute(ops)
        except LogFault:
            self.deriver = None
        else:
            self._progress(self.deriver.mark.seq, self._store.last)


class Rereading:
    """Folds a record from its first event, and derives facts after `mark` if `with_facts` is set.

    Meanwhile the station continues from a state that another program version stored.
    """

    def __init__(self, store: Store, mark: facts.FactMark | None, with_facts: bool) -> None:
        self._store = store
        self.state, self.read, self.with_facts = State(), 0, with_facts
        self.writer: FactWriter | None = None
        self._steps = self._begin(mark) if with_facts else iter(())

    @property
    def percent(self) -> int:
        """Percentage of the record read so far."""
        return 100 * self.read // max(1, self._store.last)

    def go_on(self) -> bool:
        """Read the next events; return whether those were the last.

        Raises Damaged, Newer or CannotRecord. First it empties the tables that an older program
        filled, one at a time.
        """
        if next(self._steps, None) is not None:
            return False
        last = min(self.read + PIECE, self._store.last)
        events, writer = self._store.entries(self.read + 1, last), self.writer
        if writer is None:
            self.state = facts.fold(self.state, events)
        else:
            self.state = facts.fold(self.state, events, writer.deriver, writer.put_down)
        self.read = last
        return last == self._store.last

    def _begin(self, mark: facts.FactMark | None) -> Iterator[bool]:
        if mark is None:
            for op in facts.statements("main"):
                with self._store.writing():
                    self._store.execute([op])
                yield True
        self.writer = FactWriter(self._store, mark or facts.FactMark())
