"""Panels, platens and texts for the tests of placement."""

from __future__ import annotations

from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import Piece
from kiosk.plan.place.placement import NOBODY, Bed, PanelLayout, Team, lay_out

FACE = read_face()


def bed(
    panel: str = "back",
    elements: tuple[str, ...] = ("name", "number"),
    layers: int = 1,
    platen: tuple[float, float] = (16.0, 20.0),
    height: float | None = None,
) -> Bed:
    return Bed(
        tuple(
            Piece(f"{e}.{n}", e, n, layers, "film", "red", panel, height)
            for e in elements
            for n in range(1, layers + 1)
        ),
        *platen,
    )


def back(
    name: str = "KOVA",
    number: str = "31",
    size: str = "AL",
    at: Bed | None = None,
    team: Team = NOBODY,
    panel: str = "back",
) -> PanelLayout:
    texts = {key: text for key, text in (("name", name), ("number", number)) if text}
    return lay_out(at or bed(panel), panel, size, texts, FACE, team)
