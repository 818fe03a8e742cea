"""Marches a story through its stages: TR-BDF2 in time, Thomas in space; pure Python.

TR-BDF2 with one matrix for both its parts: Bank et al. 1985. Steps restart small after each event
and grow with the time since then, as suits diffusion.
"""

from collections.abc import Iterator
from typing import NamedTuple

from kiosk.heat.stack import (
    Face,
    Grid,
    HeatStage,
    HeatStory,
    Plate,
    Temperatures,
    first_temperatures,
)

GAMMA = 2 - 2**0.5  # makes both parts of TR-BDF2 share one matrix
MIDDLE_SHARE = 1 / (GAMMA * (2 - GAMMA))
START_SHARE = (1 - GAMMA) ** 2 * MIDDLE_SHARE
FIRST_STEP = 0.015
GROWTH = 1.7
STEP_PER_ELAPSED = 0.15  # beyond the first steps, a step is this share of the stage's time so far
LONGEST_STEP = 6.0


class Sample(NamedTuple):
    """One moment, °C: the film side of the bond (None without film), and the cloth's top face."""

    time: float
    bond: float | None
    cloth: float | None


class History(NamedTuple):
    """Each stage with its samples, times from the start of the first; all layers at the end."""

    stages: tuple[tuple[HeatStage, tuple[Sample, ...]], ...]
    end: Temperatures


def face_terms(face: Face, half: float, cell: float) -> tuple[float, float]:
    """Return conductance W/m2K and outside temperature °C as the outermost cell sees them.

    In air both depend on the surface temperature, found by two rounds from the cell's.
    """
    if isinstance(face, Plate):
        return 1 / (half + 1 / face.conductance), face.temperature
    surface = cell
    gain, room = face.gain, face.temperature
    for _ in range(2):
        h = face.conductance(surface)
        outside = room + gain / h
        through = 1 / (half + 1 / h)
        surface = cell - through * (cell - outside) * half
    return through, outside


class March:
    """Steps one stage's temperatures `values`, listed from the top."""

    def __init__(self, grid: Grid, stage: HeatStage, values: list[float]) -> None:
        self.values = values
        self._links = grid.links
        self._capacity = grid.capacity
        self._faces = (stage.top, stage.bottom)
        self._half = (grid.half[0], grid.half[-1])
        self._drift = (0.0, 0.0)  # K/s of the outermost cells in the previous step

    def step(self, dt: float) -> None:
        """Advance by `dt` seconds, with the faces extrapolated to the middle of the step."""
        values = self.values
        top, bottom = values[0], values[-1]
        drift_top, drift_bottom = self._drift
        ahead = dt / 2
        g_top, t_top = face_terms(self._faces[0], self._half[0], top + drift_top * ahead)
        g_bottom, t_bottom = face_terms(
            self._faces[1], self._half[1], bottom + drift_bottom * ahead
        )
        ends = (g_top, t_top, g_bottom, t_bottom)
        self.values = values = advance(values, self._capacity, self._links, ends, dt)
        self._drift = ((values[0] - top) / dt, (values[-1] - bottom) / dt)


def advance(
    start: list[float],
    capacity: list[float],
    links: list[float],
    ends: tuple[float, float, float, float],
    dt: float,
) -> list[float]:
    """Return the temperatures after `dt`: TR to t + γ·dt, then BDF2 to t + dt, one factorising.

    `ends` are the top's conductance and outside temperature, then the bottom's. All rows are
    divided by γ·dt/2, so that the matrix holds the conductances unscaled.
    """
    scale = 2 / (GAMMA * dt)
    heavy = [c * scale for c in capacity]
    middle, inverses, factors = _middle(start, heavy, links, ends)
    g_top, t_top, g_bottom, t_bottom = ends
    forward, carried = [], g_top * t_top
    rows = zip(heavy, links, inverses, middle, start)  # noqa: B905 - links are one fewer
    for c, link, inverse, m, s in rows:
        value = (c * (MIDDLE_SHARE * m - START_SHARE * s) + carried) * inverse
        forward.append(value)
        carried = link * value
    last = heavy[-1] * (MIDDLE_SHARE * middle[-1] - START_SHARE * start[-1])
    return _back((last + g_bottom * t_bottom + carried) * inverses[-1], forward, factors)


def _middle(
    start: list[float], heavy: list[float], links: list[float], ends: tuple[float, ...]
) -> tuple[list[float], list[float], list[float]]:
    """The trapezoidal part: its temperatures, and the matrix's inverses and factors."""
    up, t_top, g_bottom, t_bottom = ends
    inverses, factors, forward = [], [], []
    t, flux, carried, rest = start[0], up * (t_top - start[0]), up * t_top, up
    for c, link, below in zip(heavy, links, start[1:]):  # noqa: B905 - links are one fewer
        down = link * (t - below)
        inverse = 1 / (c + rest + link)
        value = (c * t + flux - down + carried) * inverse
        factor = link * inverse
        inverses.append(inverse)
        factors.append(factor)
        forward.append(value)
        carried, rest = link * value, link - factor * link
        flux, t = down, below
    inverse = 1 / (heavy[-1] + rest + g_bottom)
    inverses.append(inverse)
    source = heavy[-1] * t + flux + g_bottom * (2 * t_bottom - t) + carried
    return _back(source * inverse, forward, factors), inverses, factors


def _back(value: float, forward: list[float], factors: list[float]) -> list[float]:
    """Substitute from the last row's `value` up."""
    found = [value]
    for ready, factor in zip(reversed(forward), reversed(factors), strict=True):
        value = ready + factor * value
        found.append(value)
    found.reverse()
    return found


class BondProbe:
    """Reads the bond and the cloth's top face from the cells of a stage."""

    def __init__(self, story: HeatStory, stage: HeatStage, grid: Grid) -> None:
        film, cloth = story.bond
        self._top = stage.top
        self._half = grid.half
        self._links = grid.links
        self._cloth = grid.spans[cloth][0] if cloth in grid.spans else None
        self._film = film in grid.spans

    def sample(self, time: float, values: list[float]) -> Sample:
        """Return the face temperatures at this moment."""
        i = self._cloth
        if i is None:
            return Sample(time, None, None)
        if i == 0:
            through, outside = face_terms(self._top, self._half[0], values[0])
            return Sample(time, None, values[0] - through * (values[0] - outside) * self._half[0])
        upper, lower = values[i - 1], values[i]
        flux = self._links[i - 1] * (upper - lower)
        bond = upper - flux * self._half[i - 1] if self._film else None
        return Sample(time, bond, lower + flux * self._half[i])


def run_stage(
    story: HeatStory, stage: HeatStage, temperatures: dict[str, tuple[float, ...]], begin: float
) -> Iterator[Sample]:
    """Yield the samples of a stage that starts at `begin`, s; updates `temperatures` to its end."""
    grid = Grid(story, stage)
    march = March(grid, stage, [t for name in stage.stack for t in temperatures[name]])
    probe = BondProbe(story, stage, grid)
    yield probe.sample(begin, march.values)
    elapsed, dt = 0.0, FIRST_STEP
    while elapsed < stage.seconds - 1e-9:
        remaining = stage.seconds - elapsed
        dt = remaining if dt > 0.75 * remaining else dt
        march.step(dt)
        elapsed += dt
        yield probe.sample(begin + elapsed, march.values)
        dt = min(dt * GROWTH, max(FIRST_STEP, STEP_PER_ELAPSED * elapsed), LONGEST_STEP)
    for name, (first, last) in grid.spans.items():
        temperatures[name] = tuple(march.values[first:last])


def history(story: HeatStory, start: Temperatures | None = None) -> History:
    """Return the story's history; `start` are cells of layers at its start, from an earlier end.

    Layers not in `start` begin as in the story. Raises ValueError if `start` has a layer with
    another number of cells.
    """
    temperatures = first_temperatures(story, start or {})
    found, begin = [], 0.0
    for stage in story.stages:
        samples = tuple(run_stage(story, stage, temperatures, begin))
        found.append((stage, samples))
        begin += stage.seconds
    return History(tuple(found), temperatures)
