"""What is done about a file that is damaged, moved or gone."""

# fmt: off
from kiosk.log.rescue.backup import back_up
from kiosk.log.rescue.mend import Mended
from kiosk.log.rescue.patrol import Patrol

__all__ = [
    "Mended", "Patrol", "back_up",
]
