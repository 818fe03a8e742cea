"""Fingerprints of a plan and of each garment's proof: any change gives another fingerprint."""

import hashlib
import json
from collections.abc import Iterable, Mapping, Set
from dataclasses import fields, is_dataclass, replace
from enum import Enum
from fractions import Fraction

from kiosk.catalog.base import Length, Seconds, Temperature, TemperatureStep, dataclass
from kiosk.catalog.model import RosterLine
from kiosk.plan.model import Plan
from kiosk.plan.sources import PlanSources

AMOUNTS = (Temperature, TemperatureStep, Seconds, Length)
Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]


def fingerprint(plan: Plan) -> str:
    """Return the SHA-256 of the plan's canonical JSON, in hex."""
    return digest_of(plain(plan))


def pressing_fingerprint(plan: Plan) -> str:
    """Return the fingerprint of what is pressed, ignoring titles and the sources of numbers."""
    untitled = replace(plan, title="", recipe_title="", sources=PlanSources())
    return fingerprint(replace(untitled, films=(), sheets_again=()))


def proof_digests(plan: Plan, roster: Iterable[RosterLine]) -> dict[str, str]:
    """Return, by roster row, a digest of the garment's drawing: its row and the pieces on it.

    A changed setting does not change it; a changed colour, height or material does.
    """
    drawing = digest_of(plain(plan.pieces))
    from kiosk.catalog.read import line_digest as row_digest  # keeps start-up fast

    return {row_of(row): digest_of([row_digest(row), drawing]) for row in roster}


def row_of(line: RosterLine) -> str:
    """Return the id of a roster row: its line, followed by its set if it has one."""
    return f"{line.line} {line.set}".strip()


@dataclass(frozen=True, slots=True)
class Approval:
    """Who approved a garment's drawing (initials), on which day (ISO 8601), and its digest."""

    digest: str
    by: str
    day: str


@dataclass(frozen=True, slots=True)
class ProofState:
    """Rows still to be approved: `unseen` for the first time, `changed` again.

    `approvals` are the (initials, day) of all other rows, latest first.
    """

    unseen: tuple[str, ...]
    changed: tuple[str, ...]
    approvals: tuple[tuple[str, str], ...]

    @property
    def waiting(self) -> frozenset[str]:
        """The rows still to be approved."""
        return frozenset((*self.unseen, *self.changed))


def proof_state(digests: Mapping[str, str], approvals: Mapping[str, Approval]) -> ProofState:
    """Return which rows are approved as they are now; only changed rows need approval again."""
    approved = {
        row: approvals[row]
        for row, digest in digests.items()
        if _approves(approvals.get(row), digest)
    }
    approvers = dict.fromkeys((each.by, each.day) for each in approved.values())
    return ProofState(
        tuple(row for row in digests if row not in approvals),
        tuple(row for row in digests if row in approvals and row not in approved),
        tuple(sorted(approvers, key=lambda each: each[1], reverse=True)),
    )


def _approves(approval: Approval | None, digest: str) -> bool:
    return approval is not None and approval.digest == digest


def digest_of(value: Plain) -> str:
    """Return the SHA-256 of the canonical JSON of `value`, in hex."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def plain(value: object) -> Plain:
    """Return `value` in JSON types; equal values give equal results: `8.0` is `8`.

    An enum is its value. Raises TypeError for a type that no plan holds.
    """
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, Enum):
        return plain(value.value)
    if isinstance(value, int | float):
        return int(value) if value == int(value) else value
    if isinstance(value, Fraction):
        return plain(int(value)) if value == int(value) else str(value)
    if isinstance(value, AMOUNTS):  # `280 F` is `280.0 F`
        return [plain(getattr(value, each.name)) for each in fields(value) if each.name != "text"]
    if is_dataclass(value):
        own = (field for field in fields(value) if field.compare)
        return {field.name: plain(getattr(value, field.name)) for field in own}
    return _collection(value)


def _collection(value: object) -> Plain:
    if isinstance(value, Mapping):
        return {_key(key): plain(item) for key, item in value.items()}
    if isinstance(value, Set):
        return sorted((plain(item) for item in value), key=str)
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    raise TypeError(f"no plan holds a {type(value).__name__}")


def _key(key: object) -> str:
    return str(key.value) if isinstance(key, Enum) else str(key)
