"""Faults of files as one line a person can act on."""

from __future__ import annotations

from kiosk.catalog.base import Fault, is_plain, shown
from kiosk.words.speak import Words


def fault_text(fault: Fault, words: Words) -> str:
    """Return `file:line: key: what is wrong; found ...; allowed: ...; did you mean ...?`.

    A question says too what was read, and what it could be.

    What the fault does not say is left out. The text has no control characters.
    """
    place = f"{fault.file}:{fault.line}" if fault.line else fault.file
    problem = words.say(fault.problem)
    if fault.question:
        problem = words("catalog.fault.question", problem=problem)
    said = [problem]
    if fault.found:
        said.append(words("catalog.fault.found", found=f'"{fault.found}"'))
    said += _reading(fault, words)
    if fault.allowed:
        said.append(words("catalog.fault.allowed", allowed=fault.allowed))
    if fault.nearest:
        said.append(words("catalog.fault.nearest", nearest=f'"{fault.nearest}"'))
    text = ": ".join(part for part in (place, fault.key, "; ".join(said)) if part)
    return "".join(c if is_plain(c) else "?" for c in text)


def _reading(fault: Fault, words: Words) -> list[str]:
    """Return what a doubtful cell was read as and could be, where that says more than it."""
    doubt = fault.doubt
    if doubt is None:
        return []
    said = []
    if doubt.read_as not in {"", doubt.written}:
        said.append(words("catalog.fault.read_as", read_as=f'"{shown(doubt.read_as)}"'))
    if doubt.could_be and doubt.could_be != (fault.nearest,):
        others = ", ".join(f'"{shown(each)}"' for each in doubt.could_be)
        said.append(words("catalog.fault.could_be", could_be=others))
    return said
