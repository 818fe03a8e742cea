"""Reads the small JSON files beside a log or a job, whatever somebody has made of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

MOST_BYTES = 64_000


class BrokenSideFile(ValueError):
    """Something stands at the path that is no such file; the text says why."""


def read_side_file(path: Path, most_bytes: int = MOST_BYTES) -> dict[str, Any]:
    """Return the JSON object that is in the plain file `path`.

    Raises FileNotFoundError where there is nothing, BrokenSideFile for anything else: a folder, a
    pipe, links in a ring, more than `most_bytes`, nested too deep, no JSON, no object.
    """
    try:
        if not path.is_file():
            if path.exists() or path.is_symlink():
                raise BrokenSideFile("no plain file")
            raise FileNotFoundError(path)
        with path.open("rb") as file:
            data = file.read(most_bytes + 1)
    except FileNotFoundError:
        raise
    except OSError as problem:
        raise BrokenSideFile(problem.strerror or type(problem).__name__) from problem
    if len(data) > most_bytes:
        raise BrokenSideFile(f"more than {most_bytes} bytes")
    return _object(data)


def _object(data: bytes) -> dict[str, Any]:
    try:
        found = json.loads(data)
    except (ValueError, RecursionError) as problem:
        raise BrokenSideFile("no JSON") from problem
    if not isinstance(found, dict):
        raise BrokenSideFile("no JSON object")
    return found
