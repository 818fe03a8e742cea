"""A real PostgreSQL for the tests of this folder, and made-up stations from nearby folders."""

import sys
from pathlib import Path

sys.path[:0] = [
    str(Path(__file__).resolve().parents[1] / room) for room in ("log", "commands", "report")
]

from shop_plans import at, database  # noqa: E402 - the path above leads to what it needs
from shop_server import postgres  # noqa: E402

__all__ = ["at", "database", "postgres"]
