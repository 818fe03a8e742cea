"""Finite volumes in one dimension, TR-BDF2 in time, Thomas in space; pure Python."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kiosk.heat.stack import Air, Face, Layer, Plate, Stage, Story

GAMMA = 2 - 2**0.5  # makes both stages of TR-BDF2 share one matrix (Bank et al. 1985)
FIRST_STEP = 0.02
GROWTH = 1.35
LONGEST_STEP = 1.0

Temperatures = dict[str, list[float]]


@dataclass(frozen=True, slots=True)
class Sample:
    """One moment, °C: the film's side of the bond (None without film) and the cloth's top face."""

    time: float
    bond: float | None
    cloth: float


class Grid:
    """The cells of one stage: capacities, conductances between them, half resistances."""

    def __init__(self, story: Story, stage: Stage) -> None:
        self.spans: dict[str, tuple[int, int]] = {}
        self.capacity: list[float] = []
        half: list[float] = []
        links: list[float] = []
        above = ""
        for name in stage.stack:
            layer = story.layers[name]
            shares = _shares(layer)
            first = len(half)
            for index, share in enumerate(shares):
                resistance = layer.resistance(stage.pressed) * share / 2
                if half:
                    joint = 0.0 if index else 1 / story.contact(above, name, stage.pressed)
                    links.append(1 / (half[-1] + joint + resistance))
                half.append(resistance)
                self.capacity.append(layer.capacity * share)
            self.spans[name] = (first, len(half))
            above = name
        self.half = half
        self.links = links


def _shares(layer: Layer) -> list[float]:
    weights = [layer.ratio**i for i in range(layer.cells)]
    total = sum(weights)
    return [w / total for w in weights]


def first_temperatures(story: Story) -> Temperatures:
    """Return every layer's cells before the first stage, °C."""
    return {name: _profile(layer, story.room) for name, layer in story.layers.items()}


def _profile(layer: Layer, room: float) -> list[float]:
    top = room if layer.top is None else layer.top
    bottom = top if layer.bottom is None else layer.bottom
    cells, depth = [], 0.0
    for share in _shares(layer):
        cells.append(top + (bottom - top) * (depth + share / 2))
        depth += share
    return cells


def face_terms(face: Face, half: float, cell: float) -> tuple[float, float]:
    """Return conductance W/m2K and outside temperature °C as the outermost cell sees them.

    For air both follow the surface's own temperature, found by two rounds from the cell's.
    """
    if isinstance(face, Plate):
        return 1 / (half + 1 / face.conductance), face.temperature
    surface = cell
    outside = face.temperature
    for _ in range(2):
        h = face.conductance(surface)
        outside = face.temperature + face.gain / h
        through = 1 / (half + 1 / h)
        surface = cell - through * (cell - outside) * half
    return through, outside


class March:
    """Steps one stage's temperatures `values` (top to bottom, changed in place)."""

    def __init__(self, grid: Grid, stage: Stage, values: list[float]) -> None:
        self.grid = grid
        self.stage = stage
        self.values = values

    def step(self, dt: float) -> None:
        """Advance by `dt` seconds; the faces are taken anew at the middle of the step."""
        start = self.values
        ends = self._ends(start)
        middle = self._stages(start, dt, ends)
        if isinstance(self.stage.top, Air) or isinstance(self.stage.bottom, Air):
            mean = [(start[0] + middle[0]) / 2, (start[-1] + middle[-1]) / 2]
            middle = self._stages(start, dt, self._ends(mean))
        self.values = middle

    def _ends(self, values: Sequence[float]) -> tuple[float, float, float, float]:
        half = self.grid.half
        top = face_terms(self.stage.top, half[0], values[0])
        bottom = face_terms(self.stage.bottom, half[-1], values[-1])
        return (*top, *bottom)

    def _stages(
        self, start: list[float], dt: float, ends: tuple[float, float, float, float]
    ) -> list[float]:
        """TR to t + γ·dt, then BDF2 to t + dt, with one factorised matrix."""
        grid = self.grid
        g_top, t_top, g_bottom, t_bottom = ends
        links, capacity = grid.links, grid.capacity
        weight = GAMMA * dt / 2
        n = len(start)
        diagonal = [0.0] * n
        sweep = [0.0] * n
        source = [c * t for c, t in zip(capacity, start, strict=True)]
        flux_above = g_top * (t_top - start[0])
        last = n - 1
        up = g_top
        for i in range(n):
            down = links[i] if i < last else g_bottom
            below = start[i + 1] if i < last else t_bottom
            flux_below = down * (start[i] - below)
            source[i] += weight * (flux_above - flux_below)
            flux_above = flux_below
            d = capacity[i] + weight * (up + down)
            if i:
                factor = weight * links[i - 1] / diagonal[i - 1]
                sweep[i] = factor
                d -= factor * weight * links[i - 1]
            diagonal[i] = d
            up = down
        edge_top, edge_bottom = weight * g_top * t_top, weight * g_bottom * t_bottom
        source[0] += edge_top
        source[last] += edge_bottom
        middle = _solve(source, diagonal, sweep, links, weight)
        a = 1 / (GAMMA * (2 - GAMMA))
        b = (1 - GAMMA) ** 2 * a
        source = [c * (a * m - b * s) for c, m, s in zip(capacity, middle, start, strict=True)]
        source[0] += edge_top
        source[last] += edge_bottom
        return _solve(source, diagonal, sweep, links, weight)


def _solve(
    source: list[float],
    diagonal: list[float],
    sweep: list[float],
    links: list[float],
    weight: float,
) -> list[float]:
    """Forward and back substitution of a symmetric tridiagonal system (Thomas)."""
    n = len(source)
    for i in range(1, n):
        source[i] += sweep[i] * source[i - 1]
    value = source[-1] / diagonal[-1]
    source[-1] = value
    for i in range(n - 2, -1, -1):
        value = (source[i] + weight * links[i] * value) / diagonal[i]
        source[i] = value
    return source


def run_stage(
    story: Story, stage: Stage, temperatures: Temperatures, begin: float
) -> Iterator[Sample]:
    """Yield the samples of one stage from its first moment; `temperatures` end as it ends."""
    grid = Grid(story, stage)
    march = March(grid, stage, [t for name in stage.stack for t in temperatures[name]])
    watch = Watch(story, stage, grid)
    yield watch.sample(begin, march.values)
    done, dt = 0.0, FIRST_STEP
    while done < stage.seconds - 1e-9:
        dt = min(dt, stage.seconds - done)
        march.step(dt)
        done += dt
        yield watch.sample(begin + done, march.values)
        dt = min(dt * GROWTH, LONGEST_STEP)
    for name, (first, last) in grid.spans.items():
        temperatures[name] = march.values[first:last]


class Watch:
    """Reads the bond and the cloth's top face from the cells of a stage."""

    def __init__(self, story: Story, stage: Stage, grid: Grid) -> None:
        film, cloth = story.bond
        self._stage = stage
        self._grid = grid
        self._cloth = grid.spans[cloth][0]
        self._film = grid.spans[film][1] - 1 if film in grid.spans else None

    def sample(self, time: float, values: list[float]) -> Sample:
        """Return the faces at this moment."""
        i, half = self._cloth, self._grid.half
        if self._film is None:
            through, outside = face_terms(self._stage.top, half[0], values[0])
            return Sample(time, None, values[i] - through * (values[i] - outside) * half[i])
        flux = self._grid.links[i - 1] * (values[i - 1] - values[i])
        return Sample(time, values[i - 1] - flux * half[i - 1], values[i] + flux * half[i])


def history(story: Story) -> tuple[tuple[Stage, tuple[Sample, ...]], ...]:
    """Return each stage with its samples, time counted from the first stage's start."""
    temperatures = first_temperatures(story)
    found, begin = [], 0.0
    for stage in story.stages:
        found.append((stage, tuple(run_stage(story, stage, temperatures, begin))))
        begin += stage.seconds
    return tuple(found)
