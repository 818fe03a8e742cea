"""A doubt about one cell: what stands there, what it was read as, what it could be instead."""

from __future__ import annotations

from dataclasses import dataclass

from kiosk.catalog.base.message import Message


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a person decides before a garment is touched.

    `row` counts from 1 in the file, 0 where the doubt is about no single row; `column` is the
    field (`size`, `name` …) or the key of job.yaml. `written` is what stands there, `read_as`
    what the job holds until somebody decides (empty for nothing), `could_be` what else may be
    meant, most likely first, `cause` why it is asked.
    """

    row: int
    column: str
    written: str
    read_as: str
    could_be: tuple[str, ...]
    cause: Message
