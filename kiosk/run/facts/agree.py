"""Whether two stations press a shared order by the same plan, apart from press differences."""

from enum import Enum

from kiosk.plan.brief import FORM, Brief, forms, is_brief


class Agreement(Enum):
    """How two stations' plans for one order compare."""

    SAME = "same"
    OTHER = "other"
    UNKNOWN = "unknown"  # one of them was made, or described, by another version of the program
    BROKEN = "broken"  # what the server holds is not a plan


def agreement(one: Brief | None, other: Brief | None) -> Agreement:
    """Return how two plans compare; SAME also if two presses planned from the same files.

    None and {} come from a program that shares no plan. The server may hold anything else too.
    """
    if one is None or other is None or {} in (one, other):
        return Agreement.UNKNOWN
    if not (is_brief(one) and is_brief(other)):
        return Agreement.BROKEN
    if one["pressed"] == other["pressed"] or (one["files"] and one["files"] == other["files"]):
        return Agreement.SAME
    return Agreement.OTHER if forms(one) == forms(other) == {FORM} else Agreement.UNKNOWN
