"""What people call the shop's files, their keys and their values."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from kiosk.catalog.base import (
    CODES,
    FABRICS,
    MATERIALS,
    NUMBER_SIZES,
    OWN_NAMES,
    PACKS,
    PLACEMENT,
    SHOP,
    SIGN_OFF,
    STOCK,
    Fault,
    Leaf,
    Message,
    say,
)
from kiosk.words import Words, fault_text, step_word, value_in_words

Place = tuple[str, ...]
Leaves = Mapping[Place, Leaf]
TITLED = (SHOP, MATERIALS, FABRICS, PACKS, STOCK, PLACEMENT, CODES, NUMBER_SIZES, SIGN_OFF)
"""Files with their own title, in the order shown; recipes follow."""
SUMMED = 3  # values that tell one item of a list from another


def file_name(words: Words, file: str, title: str) -> str:
    """Return a file's title: fixed for the shop's own files, else the recipe's `title`."""
    stem = file.removesuffix(".yaml")
    # a label cannot break at hyphens
    return words(f"file.{stem}") if file in TITLED else title or stem.replace("-", " ")


def key_name(words: Words, file: str, path: Place, leaves: Leaves) -> str:
    """Return what people call the key at `path`; for what the shop named, its title there."""
    title_leaf = leaves.get((*path, "title")) if OWN_NAMES.get(file) == path[:-1] else None
    return step_word(words, file, path) if title_leaf is None else title_leaf.value


NOTHING: Leaves = {}


def fault_line(words: Words, fault: Fault, leaves: Leaves = NOTHING) -> str:
    """Return the checker's fault with its keys as people call them; file and line stay."""
    file, path = Path(fault.file).name, tuple(fault.key.split(".")) if fault.key else ()
    steps = (key_name(words, file, path[:n], leaves) for n in range(1, len(path) + 1))
    problem = _in_words(words, fault.problem, file, path)
    return fault_text(replace(fault, file=file, key=", ".join(steps), problem=problem), words)


def _in_words(words: Words, problem: Message, file: str, path: Place) -> Message:
    """Return the problem; if two values are in the wrong order, with what people call both."""
    if problem.id != "catalog.order":
        return problem
    keys = {end: (*path[:-1], str(key)) for end, key in problem.values.items()}
    return say(problem.id, **{end: step_word(words, file, at) for end, at in keys.items()})


def first_values(words: Words, path: Place, leaves: Leaves) -> str:
    """Return the first values of an item of a list: its number means nothing to people."""
    if not path[-1].isdigit():
        return ""
    below = [at for at in leaves if at[: len(path)] == path]
    return ", ".join(value_in_words(words, at, leaves[at].value) for at in below[:SUMMED])
