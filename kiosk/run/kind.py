"""What the station is in the middle of."""

from __future__ import annotations

from kiosk.run.model import Now, State
from kiosk.run.views import Kind


def kind_of(state: State, now: Now) -> Kind:
    """Return what a settled station is in the middle of at `now`."""
    raise NotImplementedError
