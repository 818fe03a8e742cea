"""What people give as their reasons: the station asks for one of these, the report tells it."""

SKIP_REASONS = ("dry", "supervisor")
"""Why no pre-press; `page.skip.<id>` is the word."""
ASIDE_REASONS = ("not_here", "wrong_size", "damaged", "later")
"""Why a garment goes to the end of the queue; `page.aside.<id>` is the word."""
RULING_REASONS = ("relaid", "short", "roster", "agreed", "looked_over", "other")
"""Why a supervisor decides so of a garment; `page.reason.<id>` is the word."""
OVERRIDE_REASONS = (
    "no_probe",
    "checked_otherwise",
    "known",
    "agreed",
    "cause_removed",
    "urgent",
    "other",
)
"""Why a supervisor lets a rule of the shop pass; `page.override.<id>` is the word."""
