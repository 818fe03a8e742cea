"""A state with some fields changed, made by the thousand when a log is replayed."""

from __future__ import annotations

import functools
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import replace as replace
else:
    from dataclasses import fields
    from operator import attrgetter

    @functools.cache
    def _plan(kind):
        names = tuple(field.name for field in fields(kind))
        return attrgetter(*names), {name: place for place, name in enumerate(names)}

    def replace(value, /, **changes):
        """Do what `dataclasses.replace` does, the fields of each class looked up once.

        For classes of two fields or more whose fields are all given to `__init__`. Half of a
        replay's time went into looking them up.
        """
        read, places = _plan(type(value))
        parts = list(read(value))
        for name, part in changes.items():
            parts[places[name]] = part
        return type(value)(*parts)
