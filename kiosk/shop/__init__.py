"""One shop: the records of all its stations in one PostgreSQL database."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.shop.server import Away, ShopFault, Standing, add, connect, init, standing
    from kiosk.shop.reading import Shop, records
    from kiosk.shop.joining import Refused
    from kiosk.shop.sending import Sender, Sent, follow, ship
    from kiosk.shop.wishes import Answer, Batch, Other, Wish
    from kiosk.shop.plans import Apart, orders_apart
    from kiosk.shop.claims import Claims
    from kiosk.shop.beside import attend

__getattr__ = face(__name__)
