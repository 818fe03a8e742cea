"""Defects of a garment, and their possible causes."""

from kiosk.catalog.base import Message, dataclass, recorded_word

CAUSES = (
    "laid_wrong",
    "wrong_pull",
    "peeled_early",
    "peeled_late",
    "sheet_forgotten",
    "over_run",
    "short_press",
    "press_setting",
    "fabric",
    "material",
    "not_known",
)
"""Ids of causes; `cause.<id>` is the word."""


@dataclass(frozen=True, slots=True)
class Defect:
    """A defect, likeliest causes first (common practice, no source): `defect.<id>`."""

    id: str
    causes: tuple[str, ...]


DEFECTS = (
    Defect("lifted_edge", ("short_press", "peeled_early", "press_setting", "material")),
    Defect("off_centre", ("laid_wrong",)),
    Defect("wrong_piece", ("wrong_pull",)),
    Defect("uneven_border", ("laid_wrong", "peeled_early")),
    Defect("marks", ("sheet_forgotten", "press_setting", "over_run", "fabric")),
    Defect("scorch", ("over_run", "press_setting", "fabric")),
    Defect("dye_in_film", ("over_run", "press_setting", "fabric", "material")),
    Defect("stretched", ("laid_wrong", "peeled_late", "fabric")),
    Defect("wrong_size", ("wrong_pull",)),
)
"""All defects, in the order in which they are offered."""

DEFECT_IDS = frozenset(defect.id for defect in DEFECTS)


def causes_of(defect: str) -> tuple[str, ...]:
    """Return every cause, the likeliest for this defect first; in default order if unknown."""
    likely = next((d.causes for d in DEFECTS if d.id == defect), ())
    return (*likely, *(cause for cause in CAUSES if cause not in likely))


def defect_word(defect: str) -> Message:
    """Return the word for a defect."""
    return recorded_word("defect", defect)


def cause_word(cause: str) -> Message:
    """Return the word for a cause."""
    return recorded_word("cause", cause)
