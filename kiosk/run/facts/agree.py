"""Whether two presses press one order by the same plan, but for what the presses themselves add."""

from enum import Enum

from kiosk.plan.brief import FORM, Brief


class Agreement(Enum):
    """How the plans of two stations for one order stand to each other."""

    SAME = "same"
    OTHER = "other"
    UNKNOWN = "unknown"  # one of them was made, or is told, by another version of the program


def agreement(one: Brief | None, other: Brief | None) -> Agreement:
    """Return whether the same is pressed, or was planned from the same files for two presses."""
    if not one or not other:
        return Agreement.UNKNOWN
    if one["pressed"] == other["pressed"] or (one["files"] and one["files"] == other["files"]):
        return Agreement.SAME
    return Agreement.OTHER if _forms(one) == _forms(other) == {FORM} else Agreement.UNKNOWN


def _forms(brief: Brief) -> set[str]:
    return {digest.partition(":")[0] for digest in brief["files"].values()}
