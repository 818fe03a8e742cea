"""Read-only pages for the wall and the office, from the shop's server or from one record."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.office.follow import BoardSource, OneLog
    from kiosk.office.app import Door, is_here, listening, server, token_at

__getattr__ = face(__name__)
