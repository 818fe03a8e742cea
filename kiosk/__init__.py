"""A press-side kiosk: the plan and the clock for names and numbers on team garments."""

import re
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

__version__ = "0.1.0"

_FROM = re.compile(r"^    from (\S+) import (\([^)]*\)|.*)$", re.M)


def face(shelf: str) -> Callable[[str], Any]:
    """Return a `__getattr__` for a shelf's `__init__` that imports each name on first use.

    The source module of each name is read from the imports under `if TYPE_CHECKING`. A start thus
    loads only the files it needs, not a whole shelf for one name.
    """
    module = sys.modules[shelf]
    homes: dict[str, str] = {}

    def get(name: str) -> Any:
        if not homes:
            text = Path(module.__file__ or "").read_text("utf-8")
            found = {n: home for home, ns in _FROM.findall(text) for n in re.findall(r"\w+", ns)}
            homes.update(found)  # in one step: another thread sees all of it or none
        if name not in homes:
            raise AttributeError(f"module {shelf!r} has no attribute {name!r}")
        value = getattr(import_module(homes[name]), name)
        setattr(module, name, value)
        return value

    return get
