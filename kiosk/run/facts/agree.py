"""Whether two presses press one order by the same plan, but for what the presses themselves add."""

from enum import Enum

from kiosk.plan.brief import FORM, Brief, forms, is_brief


class Agreement(Enum):
    """How the plans of two stations for one order stand to each other."""

    SAME = "same"
    OTHER = "other"
    UNKNOWN = "unknown"  # one of them was made, or is told, by another version of the program
    BROKEN = "broken"  # what stands at the server is no plan


def agreement(one: Brief | None, other: Brief | None) -> Agreement:
    """Return whether the same is pressed, or was planned from the same files for two presses.

    None and {} are of a program that tells no plan. Anything else may stand at a server too.
    """
    if one is None or other is None or {} in (one, other):
        return Agreement.UNKNOWN
    if not (is_brief(one) and is_brief(other)):
        return Agreement.BROKEN
    if one["pressed"] == other["pressed"] or (one["files"] and one["files"] == other["files"]):
        return Agreement.SAME
    return Agreement.OTHER if forms(one) == forms(other) == {FORM} else Agreement.UNKNOWN
