"""The file: SQLite, its lock, its chain, events as rows."""

# fmt: off
from kiosk.log.store.codec import Head, NoHead
from kiosk.log.store.errors import Damaged, LogFault
from kiosk.log.store.lock import now
from kiosk.log.store.store import Recorded, Store

__all__ = [
    "Damaged", "Head", "LogFault", "NoHead", "Recorded", "Store", "now",
]
