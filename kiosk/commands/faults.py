"""Prints faults, every one, without a player's name."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import replace

from kiosk.catalog.model import Fault
from kiosk.words import Words
from kiosk.words.faults import fault_text


def print_faults(faults: Iterable[Fault], words: Words) -> None:
    """Print each fault on stderr in a line of its own; what stands in a name's cell is left out."""
    for fault in faults:
        print(fault_text(nameless(fault), words), file=sys.stderr)


def nameless(fault: Fault) -> Fault:
    """Return `fault` without what stands in a name's cell, and what it could be instead."""
    if fault.key != "name":
        return fault
    return replace(fault, found="", nearest="", doubt=None)


def wrong(faults: Iterable[Fault]) -> bool:
    """Whether any of `faults` is wrong, not merely a question for a person."""
    return any(not fault.question for fault in faults)
