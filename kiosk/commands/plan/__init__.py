"""`kiosk plan`: text, JSON, page, picture."""

# fmt: off
# isort: skip_file
from kiosk.commands.plan.plan import run
