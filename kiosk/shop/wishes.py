"""What a station wants from the server for its job, and the server's answer; both as JSON."""

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple, Self

from kiosk.run.facts import Agreement

Row = tuple[str, ...]  # a garment: line, number, size, digest, set
Rows = tuple[Row, ...]
COLUMNS = 5


class JobWish(NamedTuple):
    """What a station wants for its job at the press; without `job` it works on none.

    `begins`: not begun here, so claimed only if nobody has it. `stopped`: claims have met, and
    nobody has decided yet; `over` are claims that a supervisor here decided to override. For a
    shared job: `order` is how to cut it into batches if nobody has; `held` are the batches in the
    record with garments to come, `done` those without any, and `wants` asks for one more. `plan` is
    a summary of the plan it presses by. `unbegun` is a shared job that was asked for and not begun:
    garments received for it are given back. `joins`: a supervisor here decided about a copy of this
    record; if the records have parted, this one joins the shop as a new one.
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
    def read(cls, content: Mapping[str, Any]) -> Self:
        """Return the wish in parsed JSON."""
        held = {int(batch): rows_of(rows) for batch, rows in content.get("held", {}).items()}
        order = tuple(rows_of(rows) for rows in content.get("order", ()))
        over, done = (tuple(map(int, content.get(key, ()))) for key in ("over", "done"))
        changed = {"held": held, "order": order, "over": over, "done": done}
        return cls(**{**content, **changed})


class OtherHolder(NamedTuple):
    """Another station that has the job, or garments of it.

    `claim` is the number of its claim, 0 if it has none now. `lines` are the roster lines it has
    pressed as far as known (as of `sent`, seconds since 1970) or was given; those in `unfinished`
    still need work. `id` is that of its record. For a shared job `agrees` is the result of
    comparing its plan to this station's; a different one is in `plan`, and `alike` are the claims
    using it.
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


class SharedBatch(NamedTuple):
    """A batch of a shared job; `name` has taken it, "" if nobody has.

    Without `garments` it cannot be read at the server, and nobody takes it.
    """

    batch: int
    garments: Rows
    name: str = ""
    ours: bool = False
    done: bool = False


class WishAnswer(NamedTuple):
    """Status of a wish: whether this record has the job, and what other stations have of it.

    `compares` is False if the server's schema is too old to store the stations' plans. `left` are
    claims of stations that gave the job up before pressing any of it, or that now share it by this
    station's plan.
    """

    job: str = ""
    ours: bool = False
    others: tuple[OtherHolder, ...] = ()
    batches: tuple[SharedBatch, ...] = ()
    compares: bool = True
    left: tuple[int, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Return the answer as JSON values."""
        others = [other._asdict() for other in self.others]
        return {**self._asdict(), "others": others, "batches": [b._asdict() for b in self.batches]}


def are_rows(found: object) -> bool:
    """Return whether a value from a server is a list of garments."""
    return isinstance(found, list) and all(
        isinstance(row, list) and len(row) == COLUMNS and all(isinstance(each, str) for each in row)
        for row in found
    )


def rows_of(rows: Iterable[Iterable[str]]) -> Rows:
    """Return the garments in parsed JSON."""
    return tuple(tuple(row) for row in rows)
