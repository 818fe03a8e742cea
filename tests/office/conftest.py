"""A real PostgreSQL and the made-up stations of the neighbouring folders."""

import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / room) for room in ("log", "commands", "report", "shop")]

from board_floor import board, browser, place, stations  # noqa: E402
from shop_server import postgres  # noqa: E402 - the path above leads to what they need

__all__ = ["board", "browser", "place", "postgres", "stations"]
