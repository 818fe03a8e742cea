"""The log's file: SQLite, its lock, its chain, events as rows."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.log.store.migrations import LogHead, NoHead
    from kiosk.log.store.soundness import in_one_line
    from kiosk.log.store.errors import (
        Busy, CannotRecord, Damaged, Displaced, LogFault, WrongLog, fault_of_system,
    )
    from kiosk.log.store.clock import now
    from kiosk.log.store.files import MOVED, inode
    from kiosk.log.store.migrations import Checkpoint
    from kiosk.log.store.store import Store
    from kiosk.log.store.rows import NumberedEvent
    from kiosk.log.store.rows import LoggedEvent
    from kiosk.log.store.rows import StoredRow
    from kiosk.log.store.rows import event_of, readable

__getattr__ = face(__name__)
