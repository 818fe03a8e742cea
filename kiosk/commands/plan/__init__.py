"""`kiosk plan`: text, JSON, page, picture."""

from kiosk.commands.plan.plan import run

__all__ = ["run"]
