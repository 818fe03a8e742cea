"""What people call the shop's files, what stands in them, and its values."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import Fault, Leaf
from kiosk.catalog.read import (
    CODES,
    FABRICS,
    MATERIALS,
    NUMBER_SIZES,
    PACKS,
    PLACEMENT,
    SHOP,
    SIGN_OFF,
    STOCK,
)
from kiosk.words import Words, fault_text

Place = tuple[str, ...]
Leaves = Mapping[Place, Leaf]
TITLED = (SHOP, MATERIALS, FABRICS, PACKS, STOCK, PLACEMENT, CODES, NUMBER_SIZES, SIGN_OFF)
"""Files with a title of their own, in the order in which they are shown; recipes follow."""
OWN_NAMES: Mapping[str, Place] = {
    MATERIALS: (), FABRICS: (), CODES: (), PLACEMENT: (), NUMBER_SIZES: (),
    SHOP: ("presses",), PACKS: ("packs",),
}  # fmt: skip
"""Where a file's keys are names that the shop gave."""
_KEYS = ("file.key", "source.key")
_ENDS = frozenset({"low", "high", "allowed"})  # the key above says what it is an end of
_VALUES = {
    **dict.fromkeys(("pressure", "pressure_max"), "pressure"),
    **dict.fromkeys(("peel", "tack"), "peel"),
    **dict.fromkeys(("surface", "goes_on", "opens", "loads", "dye_risk", "cloth"), "entry.word"),
    **dict.fromkeys(("carrier_on", "carrier_off"), "entry.word"),
    **dict.fromkeys(("demand", "trial", "proof"), "file.demand"),
    **dict.fromkeys(("approver", "border", "size", "language"), "file.word"),
    "panel": "panel", "element": "element",
}  # fmt: skip
"""By key where the words of its values are."""
_PLAIN = {"yes": "entry.word.yes", "no": "entry.word.no", "null": "file.word.none"}
SUMMED = 3  # values that tell one place of a list from another


def file_name(words: Words, file: str, title: str) -> str:
    """Return a file's title: its own of the shop's files, the `title` in it of a recipe."""
    stem = file.removesuffix(".yaml")
    # at hyphens a label cannot be broken
    return words(f"file.{stem}") if file in TITLED else title or stem.replace("-", " ")


def key_name(words: Words, file: str, path: Place, leaves: Leaves) -> str:
    """Return what people call what stands at `path`; the key where there is no word for it."""
    key = path[-1]
    if OWN_NAMES.get(file) == path[:-1]:
        title = leaves.get((*path, "title"))
        return key if title is None else title.value
    families = ("practice.family",) if file == SIGN_OFF and len(path) == 1 else ()
    return _known(words, (f"{place}.{key}" for place in (*families, *_KEYS))) or key


def fault_said(words: Words, fault: Fault, leaves: Leaves) -> str:
    """Return the checker's words, with what people call the key; the file and line stay."""
    file, path = Path(fault.file).name, tuple(fault.key.split(".")) if fault.key else ()
    steps = (key_name(words, file, path[:n], leaves) for n in range(1, len(path) + 1))
    return fault_text(replace(fault, file=file, key=", ".join(steps)), words)


def value_said(words: Words, path: Place, value: str) -> str:
    """Return a value as people say it; as it stands in the file where there is no word for it."""
    keys = [key for key in path if not key.isdigit()] or [""]
    of = keys[-2] if keys[-1] in _ENDS and len(keys) > 1 else keys[-1]
    own = f"{_VALUES.get(of, '')}.{value.replace(' ', '_')}"
    return _known(words, (own, _PLAIN.get(value, ""))) or value


def summed(words: Words, path: Place, leaves: Leaves) -> str:
    """Return the first values below a place of a list: its number says nothing."""
    if not path[-1].isdigit():
        return ""
    below = [at for at in leaves if at[: len(path)] == path]
    return ", ".join(value_said(words, at, leaves[at].value) for at in below[:SUMMED])


def _known(words: Words, ids: Iterable[str]) -> str:
    """The sentence of the first id that has one; "" where none has."""
    return next((words(each) for each in ids if words.knows(each)), "")
