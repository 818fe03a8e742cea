"""One shop: the records of all its stations in one PostgreSQL database."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.shop.server import Away, RecordStatus, ShopFault, add, connect, init, record_statuses
    from kiosk.shop.reading import ServerBoardSource, records
    from kiosk.shop.joining import RecordsDiffer
    from kiosk.shop.sending import Sender, Sent, follow, ship
    from kiosk.shop.wishes import JobWish, OtherHolder, SharedBatch, WishAnswer
    from kiosk.shop.plans import SplitOrder, orders_apart
    from kiosk.shop.claims import Claims
    from kiosk.shop.attendant import attend

__getattr__ = face(__name__)
