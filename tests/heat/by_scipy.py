"""The same grid solved by scipy's solve_ivp: a general reference for the time stepping."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from kiosk.heat.solver import BondProbe, Sample, face_terms
from kiosk.heat.stack import Grid, HeatStage, HeatStory, first_temperatures

Floats = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Marks = Sequence[Sequence[float]]


def right_side(grid: Grid, stage: HeatStage) -> Callable[[float, Floats], Floats]:
    """Return a function for dT/dt of the stage's cells."""
    capacity, links = np.array(grid.capacity), np.array(grid.links)
    first, last = grid.half[0], grid.half[-1]

    def change(_time: float, cells: Floats) -> Floats:
        flux = np.zeros(len(cells) + 1)  # downward, W/m2
        flux[1:-1] = links * (cells[:-1] - cells[1:])
        g, outside = face_terms(stage.top, first, float(cells[0]))
        flux[0] = g * (outside - cells[0])
        g, outside = face_terms(stage.bottom, last, float(cells[-1]))
        flux[-1] = g * (cells[-1] - outside)
        return np.asarray((flux[:-1] - flux[1:]) / capacity)

    return change


def jacobian(grid: Grid, stage: HeatStage) -> Callable[[float, Floats], Floats]:
    """Return a function for its Jacobian, with the faces' conductances held fixed."""
    links, n = np.array(grid.links), len(grid.capacity)
    inside = np.diag(links, 1) + np.diag(links, -1)
    inside -= np.diag(inside.sum(axis=1))

    def slopes(_time: float, cells: Floats) -> Floats:
        found = inside.copy()
        found[0, 0] -= face_terms(stage.top, grid.half[0], float(cells[0]))[0]
        found[-1, -1] -= face_terms(stage.bottom, grid.half[-1], float(cells[-1]))[0]
        return np.asarray(found / np.array(grid.capacity).reshape(n, 1))

    return slopes


def by_scipy(
    story: HeatStory, method: str, tolerance: float, marks: Marks | None = None
) -> list[Sample]:
    """Return the story's samples at `marks` (times in each stage), or at the solver's own steps."""
    from scipy.integrate import solve_ivp  # slow import: not at collection

    temperatures = first_temperatures(story, {})
    found: list[Sample] = []
    begin = 0.0
    for index, stage in enumerate(story.stages):
        grid = Grid(story, stage)
        solution = solve_ivp(
            right_side(grid, stage),
            (0.0, stage.seconds),
            np.array([t for name in stage.stack for t in temperatures[name]]),
            method=method,
            jac=jacobian(grid, stage),
            t_eval=None if marks is None else np.array(marks[index]),
            rtol=tolerance,
            atol=tolerance * 100,
        )
        probe = BondProbe(story, stage, grid)
        rows = zip(solution.t, solution.y.T, strict=True)
        found += [probe.sample(begin + float(t), cells.tolist()) for t, cells in rows]
        end = solution.y[:, -1].tolist()
        temperatures |= {name: tuple(end[a:b]) for name, (a, b) in grid.spans.items()}
        begin += stage.seconds
    return found
