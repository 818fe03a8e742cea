"""A plan's fingerprint: the same plan gives the same one, any change another."""

import hashlib
import json
from collections.abc import Mapping, Set
from dataclasses import fields, is_dataclass
from enum import Enum

from kiosk.plan.model import Plan

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]


def fingerprint(plan: Plan) -> str:
    """Return the SHA-256 of the plan's canonical JSON, in hex."""
    text = json.dumps(plain(plan), sort_keys=True, separators=(",", ":"), ensure_ascii=True)
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def plain(value: object) -> Plain:
    """Return `value` in JSON's types, one form for equal values: `8.0` is `8`, an enum its value.

    Raises TypeError for a type that no plan holds.
    """
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, Enum):
        return plain(value.value)
    if isinstance(value, int | float):
        return int(value) if value == int(value) else value
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
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
