"""`kiosk plan`: as text, JSON, page or picture."""

# fmt: off
# isort: skip_file
from typing import TYPE_CHECKING

from kiosk import face

if TYPE_CHECKING:
    from kiosk.commands.plan.plan import run

__getattr__ = face(__name__)
