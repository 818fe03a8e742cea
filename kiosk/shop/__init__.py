"""One shop: the records of all its stations in one PostgreSQL."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.shop.server import Away, ShopFault, Standing, add, connect, init, standing
    from kiosk.shop.reading import Shop, records
    from kiosk.shop.sending import Sender, Sent, follow, ship
    from kiosk.shop.claims import Answer, Batch, Claims, Other, Wish
    from kiosk.shop.beside import attend

__getattr__ = face(__name__)
