"""The cells of a stage: capacities, conductances between them, half resistances."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.heat.stack import Layer, Stage, Story

Temperatures = Mapping[str, tuple[float, ...]]


class Grid:
    """One stage's cells from the top: J/m2K, W/m2K, m2K/W; `spans` are the layers' cells."""

    def __init__(self, story: Story, stage: Stage) -> None:
        self.spans: dict[str, tuple[int, int]] = {}
        self.capacity: list[float] = []
        self.half: list[float] = []
        self.links: list[float] = []
        above = ""
        for name in stage.stack:
            joint = 1 / story.contact(above, name, stage.pressed) if above else 0.0
            self._add(name, story.layers[name], stage.pressed, joint)
            above = name

    def _add(self, name: str, layer: Layer, pressed: bool, joint: float) -> None:
        first = len(self.half)
        for share in _shares(layer):
            half = layer.resistance(pressed) * share / 2
            if self.half:
                self.links.append(1 / (self.half[-1] + joint + half))
            self.half.append(half)
            self.capacity.append(layer.capacity * share)
            joint = 0.0
        self.spans[name] = (first, len(self.half))


def _shares(layer: Layer) -> list[float]:
    weights = [layer.ratio**i for i in range(layer.cells)]
    total = sum(weights)
    return [w / total for w in weights]


def first_temperatures(story: Story, start: Temperatures) -> dict[str, tuple[float, ...]]:
    """Return every layer's cells before the first stage, °C; those of `start` are as they are.

    Raises ValueError where `start` has a layer in other cells than the story's.
    """
    found = {name: _profile(layer, story.room) for name, layer in story.layers.items()}
    for name, cells in start.items():
        if name in found and len(found[name]) != len(cells):
            raise ValueError(f"{name}: {len(cells)} temperatures for {len(found[name])} cells")
    return found | dict(start)


def _profile(layer: Layer, room: float) -> tuple[float, ...]:
    top = room if layer.top is None else layer.top
    bottom = top if layer.bottom is None else layer.bottom
    cells, depth = [], 0.0
    for share in _shares(layer):
        cells.append(top + (bottom - top) * (depth + share / 2))
        depth += share
    return tuple(cells)
