"""Lifts payloads of older versions to today's, one step at a time."""

import re
from collections.abc import Callable, Mapping
from typing import Any

Payload = dict[str, Any]
Lift = Callable[[Payload], Payload]

_WORD = re.compile(r"@([a-z_]+(?:\.[\w-]+)+)")


def _waits_were_guesses(payload: Payload) -> Payload:
    """Lift version 1, where every written wait was labelled as from the material's sheet."""
    plan = payload["plan"]
    passes = [_guessed_pass(each) for each in plan["passes"]]
    return {**payload, "plan": {**plan, "passes": passes}}


def _guessed_pass(each: Payload) -> Payload:
    stages = [_guessed_wait(wait) for wait in each.get("stages", ())]
    return {**each, "wait": _guessed_wait(each["wait"]), "stages": stages}


def _guessed_wait(wait: Payload | None) -> Payload | None:
    if wait is None or wait["source"] != "plan.wait.sheet":
        return wait
    return {
        **wait,
        "source": "plan.wait.guess",
        "guess": [wait["from_seconds"], wait["to_seconds"]],
    }


def words_apart_from_text(payload: Payload) -> Payload:
    """Return a payload with messages inside messages where version 2 had `@peel.cold`."""
    return {key: _lifted(part) for key, part in payload.items()}


def _lifted(part: Any, is_value: bool = False) -> Any:
    """Return `part` with the words in its messages lifted; `is_value` if inside a message."""
    if isinstance(part, dict):
        is_message = part.keys() == {"id", "values"} and isinstance(part["values"], dict)
        if is_message:
            values = {key: _lifted(each, True) for key, each in part["values"].items()}
            return {"id": part["id"], "values": values}
        return {key: _lifted(each) for key, each in part.items()}
    if isinstance(part, list):
        return [_lifted(each, is_value) for each in part]
    word = _WORD.fullmatch(part) if is_value and isinstance(part, str) else None
    return {"id": word[1], "values": {}} if word else part


# The current version of each kind; 1 if not listed.
VERSIONS: Mapping[str, int] = {"job-started": 3}

# (kind, version) -> function that lifts a payload to the next version. A new field with a default
# needs no lift; a renamed, removed or reinterpreted one does.
LIFTS: Mapping[tuple[str, int], Lift] = {
    ("job-started", 1): _waits_were_guesses,
    ("job-started", 2): words_apart_from_text,
}


def version_of(kind: str, versions: Mapping[str, int] = VERSIONS) -> int:
    """Return the current version of `kind`."""
    return versions.get(kind, 1)


def lift(
    kind: str,
    version: int,
    payload: Payload,
    lifts: Mapping[tuple[str, int], Lift] = LIFTS,
    versions: Mapping[str, int] = VERSIONS,
) -> Payload:
    """Return `payload` lifted to the current version of `kind`. Raises KeyError without a lift."""
    while version < version_of(kind, versions):
        payload = lifts[kind, version](payload)
        version += 1
    return payload
