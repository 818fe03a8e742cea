"""Opens a station's record to read it; what is wrong with it goes to stderr."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Callable

from kiosk.catalog.read import read_catalog
from kiosk.commands.codes import FAULTS
from kiosk.log.place import default_log
from kiosk.log.store import LogFault, Store
from kiosk.words import Words


def with_record(asked: Namespace, use: Callable[[Store, Words], int]) -> int:
    """Return what `use` makes of the log that was asked for, or FAULTS where it cannot be read."""
    words = shop_words(asked)
    try:
        with Store.read_only(asked.log or default_log()) as store:
            return use(store, words)
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def shop_words(asked: Namespace) -> Words:
    """Return the shop's language; English where no recipes folder can be read."""
    return Words(read_catalog(asked.recipes)[0].station.language)
