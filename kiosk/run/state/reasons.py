"""Reasons that people give: the station offers these, the report shows the one chosen."""

SKIP_REASONS = ("dry", "supervisor")
"""Why there is no pre-press; `page.skip.<id>` is the word."""
ASIDE_REASONS = ("not_here", "wrong_size", "damaged", "later")
"""Why a garment goes to the end of the queue; `page.aside.<id>` is the word."""
RULING_REASONS = ("relaid", "short", "roster", "agreed", "looked_over", "other")
"""Why a supervisor ruled this way on a garment; `page.reason.<id>` is the word."""
OVERRIDE_REASONS = (
    "no_probe",
    "checked_otherwise",
    "known",
    "agreed",
    "cause_removed",
    "urgent",
    "other",
)
"""Why a supervisor overrode a rule of the shop; `page.override.<id>` is the word."""
