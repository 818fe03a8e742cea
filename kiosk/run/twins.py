"""Numbers that read as another number upside down: the roster's own word on them."""

from __future__ import annotations

from kiosk.catalog.twins import has_twin as has_twin
from kiosk.catalog.twins import twin as twin
