"""What a station wants of the server for its job, and what that answers; both go as JSON."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple, Self

from kiosk.run.facts import Agreement

Row = tuple[str, ...]  # a garment: line, number, size, digest, set
Rows = tuple[Row, ...]
COLUMNS = 5


class Wish(NamedTuple):
    """What a station wants of its job at the press; without `job` it works on none.

    `begins`: it is not begun here, and is claimed only where it is nobody's. `stopped`: claims
    have met, and nobody has decided yet; `over` are claims that a supervisor here decided over.
    Of a shared job: `order` is how it is cut, where nobody has cut it; `held` are the batches in
    the record with garments to come, `done` those without any, and it `wants` one more. `plan`
    is by which plan it presses them, in brief. `unbegun` is a shared job that was asked for and
    not begun: what was given of it is given back. `joins`: a supervisor decided here over a copy of
    this record; where it has parted, it joins the shop as a new one.
    """

    job: str = ""
    shared: bool = False
    begins: bool = False
    stopped: bool = False
    over: tuple[int, ...] = ()
    order: tuple[Rows, ...] = ()
    held: Mapping[int, Rows] = {}
    done: tuple[int, ...] = ()
    wants: bool = False
    plan: Mapping[str, Any] = {}
    unbegun: str = ""
    joins: bool = False

    @classmethod
    def read(cls, told: Mapping[str, Any]) -> Self:
        """Return a wish that came as JSON."""
        held = {int(batch): rows_of(rows) for batch, rows in told.get("held", {}).items()}
        order = tuple(rows_of(rows) for rows in told.get("order", ()))
        over, done = (tuple(map(int, told.get(key, ()))) for key in ("over", "done"))
        changed = {"held": held, "order": order, "over": over, "done": done}
        return cls(**{**told, **changed})


class Other(NamedTuple):
    """Another station that has the job, or garments of it.

    `claim` is the number of its claim, 0 where it has none now; `lines` are the roster lines that
    it is known to have pressed (as of `sent`, seconds since 1970), or that were given to it; with
    something of the `unfinished` ones still to be done. `id` is its record's. Of a shared job
    `agrees` says how its plan stands to this station's; another one is told in `plan`, and `alike`
    are the claims by it.
    """

    name: str
    claim: int = 0
    shared: bool = False
    copy: bool = False  # it is a copy of this record
    lines: tuple[str, ...] = ()
    sent: float | None = None
    agrees: str = Agreement.SAME.value
    plan: Mapping[str, Any] | None = None
    alike: tuple[int, ...] = ()
    unfinished: tuple[str, ...] = ()
    id: str = ""


class Batch(NamedTuple):
    """A batch of a shared job; `name` has taken it, "" for nobody.

    Without `garments` it cannot be read at the server: nobody takes it.
    """

    batch: int
    garments: Rows
    name: str = ""
    ours: bool = False
    done: bool = False


class Answer(NamedTuple):
    """How a wish stands: whether the job is this record's, and what of it is elsewhere.

    `compares` unless the server's schema is too old to keep by which plan each station presses.
    `left` are claims whose stations gave the job up before they had pressed any of it, or share it
    by this station's plan now.
    """

    job: str = ""
    ours: bool = False
    others: tuple[Other, ...] = ()
    batches: tuple[Batch, ...] = ()
    compares: bool = True
    left: tuple[int, ...] = ()

    def told(self) -> dict[str, Any]:
        """Return it as JSON has it."""
        others = [other._asdict() for other in self.others]
        return {**self._asdict(), "others": others, "batches": [b._asdict() for b in self.batches]}


def are_rows(found: object) -> bool:
    """Return whether what stands at a server are garments."""
    return isinstance(found, list) and all(
        isinstance(row, list) and len(row) == COLUMNS and all(isinstance(each, str) for each in row)
        for row in found
    )


def rows_of(rows: Iterable[Iterable[str]]) -> Rows:
    """Return garments that came as JSON."""
    return tuple(tuple(row) for row in rows)
