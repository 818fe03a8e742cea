"""Lifts the payloads of older versions to today's, one step at a time."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Payload = dict[str, Any]
Lift = Callable[[Payload], Payload]

# The version that each kind is written in today; 1 where nothing stands here.
VERSIONS: Mapping[str, int] = {}

# (kind, version) -> what makes a payload of the next version of it. A new field with a default
# needs no lift; a renamed, removed or reinterpreted one does.
LIFTS: Mapping[tuple[str, int], Lift] = {}


def version_of(kind: str, versions: Mapping[str, int] = VERSIONS) -> int:
    """Return the version that `kind` is written in today."""
    return versions.get(kind, 1)


def lift(
    kind: str,
    version: int,
    payload: Payload,
    lifts: Mapping[tuple[str, int], Lift] = LIFTS,
    versions: Mapping[str, int] = VERSIONS,
) -> Payload:
    """Return `payload` as today's version of `kind` has it. Raises KeyError without a lift."""
    while version < version_of(kind, versions):
        payload = lifts[kind, version](payload)
        version += 1
    return payload
