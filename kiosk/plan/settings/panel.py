"""An order solved panel by panel, and each solution written out as settings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field, replace
from itertools import pairwise

from kiosk.catalog.base import Message, dataclass, say
from kiosk.catalog.model import DyeRisk, Fabric, Layer, Panel, Peel, Policy, Press, Recipe
from kiosk.plan.model import Closing, PanelSettings, PlatenPart, Purpose, UsableSpan
from kiosk.plan.settings.frames import (
    ClosingFrame,
    GroupFrame,
    HeatRemaining,
    all_remaining,
    frames,
    seconds_choices,
)
from kiosk.plan.settings.limits import GroupPieces, PieceLimits, SheetLimits, pieces_of, read_cloth
from kiosk.plan.settings.rulebook import broken_stack
from kiosk.plan.settings.splits import ChosenFrame, PanelBench, Solution, best_solution, latest_peel


def panel_settings(
    panel: str, pieces: Sequence[PieceLimits], bench: PanelBench, solution: Solution
) -> PanelSettings:
    """Return the settings of `panel`, with `pieces` pressed as in `solution`."""
    closings = _closings(solution)
    heat = {p.name: sum(c.dwell_seconds for c in closings if p.name in c.heated) for p in pieces}
    pressed = sum(closing.dwell_seconds for closing in closings)
    return PanelSettings(
        panel=panel,
        unit=bench.press.unit,
        closings=closings,
        usable=_usable(solution.groups[0].frame.group, bench, guarded=solution.guarded),
        element_heat_seconds=heat,
        fabric_heat_seconds=bench.cloth.pre_press_seconds + pressed,
        setting_change=closings[0].temperature - bench.setting,
        warnings=_warnings(closings, bench, solution),
        changed_from_normal=_changes(pieces, bench, solution),
    )


def _closings(solution: Solution) -> tuple[Closing, ...]:
    return tuple(
        _closing(closing, chosen.frame, seconds, group)
        for group, chosen in enumerate(solution.groups)
        for closing, seconds in zip(chosen.frame.closings, chosen.seconds, strict=True)
    )


def _closing(closing: ClosingFrame, frame: GroupFrame, seconds: int, group: int) -> Closing:
    low, high = frame.pressure
    return Closing(
        purpose=closing.purpose,
        group=group,
        pieces=tuple(sorted(p.name for p in closing.layout.laid)),
        heated=closing.heated,
        temperature=frame.temperature,
        dwell_seconds=seconds,
        pressure_low=low,
        pressure_high=high,
        cover_sheet=closing.sheet_on(seconds),
        peel=dict(sorted(closing.peel.items())),
    )


def _usable(group: GroupPieces, bench: PanelBench, *, guarded: bool) -> tuple[UsableSpan, ...]:
    """Return what the final of `group` could take if nothing came after it."""
    remaining = all_remaining(group.active, bench.cloth)
    spans: list[UsableSpan] = []
    for degree, frame in sorted(frames(group, bench.group_cloth(guarded=guarded)).items()):
        seconds = _final_seconds(frame, remaining)
        if seconds is None:
            continue
        same = spans and (spans[-1].dwell_low, spans[-1].dwell_high) == seconds
        if same and spans[-1].temperature_high == degree - 1:
            spans[-1] = UsableSpan(spans[-1].temperature_low, degree, *seconds)
        else:
            spans.append(UsableSpan(degree, degree, *seconds))
    return tuple(spans)


def _final_seconds(frame: GroupFrame, remaining: HeatRemaining) -> tuple[int, int] | None:
    """Return the least and most seconds of the final after its tacks; None if none are left."""
    seconds = next(seconds_choices(frame.closings, remaining), None)
    if seconds is None:
        return None
    remaining = remaining.after(frame.closings[:-1], seconds[:-1])
    window = frame.final.seconds
    return window.low, min(window.high, remaining.most(frame.final))


def _warnings(
    closings: Sequence[Closing], bench: PanelBench, solution: Solution
) -> tuple[str, ...]:
    groups = solution.groups
    temperatures = [chosen.frame.temperature for chosen in groups]
    warnings = {
        "narrow_window": len(groups) == 1 and _is_narrow(groups[0].frame.group, bench),
        "no_fabric_margin": bench.policy.guard_fabric and not solution.guarded,
        "staged_peel": any(len(set(closing.peel.values())) > 1 for closing in closings),
        "temp_change_in_batch": any(a != b for a, b in pairwise(temperatures)),
        "peel_before_next_closing": any(latest_peel(c) > Peel.HOT for c in groups[:-1]),
        "dye_caution": bench.cloth.fabric.dye_risk is not DyeRisk.NONE,
    }
    return tuple(sorted(warning for warning, holds in warnings.items() if holds))


def _is_narrow(group: GroupPieces, bench: PanelBench) -> bool:
    spans = _usable(group, bench, guarded=False)
    width = spans[-1].temperature_high - spans[0].temperature_low
    return width < 2 * bench.tolerance


def _changes(
    pieces: Sequence[PieceLimits], bench: PanelBench, solution: Solution
) -> tuple[Message, ...]:
    """Return where each piece differs from its own normal, in the recipe's order."""
    chosen = {p.name: c for c in solution.groups for p in c.frame.group.active}
    return tuple(message for p in pieces for message in _piece_changes(p, chosen[p.name], bench))


def _piece_changes(piece: PieceLimits, chosen: ChosenFrame, bench: PanelBench) -> list[Message]:
    frame, found = chosen.frame, []
    if frame.temperature != piece.sheet.normal:
        found.append(
            say(
                "settings.changed_temperature",
                piece=piece.name,
                normal=piece.sheet.normal,
                now=frame.temperature,
                unit=bench.press.unit.value,
            )
        )
    normal = {
        Purpose.TACK: piece.sheet.tack,
        Purpose.FINAL: piece.sheet.dwell_at(frame.temperature),
    }
    for closing, seconds in zip(frame.closings, chosen.seconds, strict=True):
        window = normal[closing.purpose]
        if piece in closing.layout.laid and window and window.normal != seconds:
            id_ = f"settings.changed_{closing.purpose.value}"
            found.append(say(id_, piece=piece.name, normal=window.normal, now=seconds))
    return found


Solved = tuple[Panel, tuple[tuple[PieceLimits, ...], PanelBench, Solution]]


@dataclass(frozen=True, slots=True)
class PanelFailure:
    """A panel that cannot be pressed, with the pieces and bench it was tried with."""

    panel: Panel
    pieces: tuple[PieceLimits, ...]
    bench: PanelBench


@dataclass(frozen=True, slots=True)
class PanelTask:
    """What is to be pressed, on what, and by which policy; `sheets` are the materials as read."""

    recipe: Recipe
    fabric: Fabric
    press: Press
    policy: Policy
    sheets: Mapping[str, SheetLimits]
    parts: Mapping[str, tuple[PlatenPart, ...]] = field(default_factory=dict)

    def settings(self) -> tuple[PanelSettings, ...] | PanelFailure:
        """Return the settings of each panel, or the first panel that has none."""
        found = self._solve_panels()
        if isinstance(found, PanelFailure):
            return found
        return tuple(panel_settings(panel.name, *solved) for panel, solved in found)

    def _solve_panels(self) -> list[Solved] | PanelFailure:
        cloth = read_cloth(self.fabric, self.press.unit)
        setting = self.press.set_temperature.whole_in(self.press.unit)
        done: list[Solved] = []
        for panel in self.recipe.panels:
            pieces = pieces_of(panel.elements, self.sheets)
            bench = PanelBench(
                cloth, self.press, self.policy, setting, self.parts.get(panel.name, ())
            )
            stackable = broken_stack(pieces) is None
            solution = best_solution(pieces, bench) if stackable else None
            if solution is None:
                return PanelFailure(panel, pieces, bench)
            done.append((panel, (pieces, bench, solution)))
            setting = solution.groups[-1].frame.temperature
        return done

    def last_solution(self) -> Solution | None:
        """Return how the last panel is pressed, or None if some panel cannot be pressed."""
        found = self._solve_panels()
        return None if isinstance(found, PanelFailure) else found[-1][1][-1]

    @property
    def last_panel(self) -> Panel:
        """The panel for which changes are sought."""
        return self.recipe.panels[-1]

    def up_to(self, panel: Panel) -> PanelTask:
        """Return the same order without the panels after `panel`."""
        panels = self.recipe.panels
        return self._with_panels(panels[: panels.index(panel) + 1])

    def after(self, panel: Panel) -> tuple[PanelTask, ...]:
        """Return an order of its own for each panel after `panel`."""
        panels = self.recipe.panels
        return tuple(self._with_panels((each,)) for each in panels[panels.index(panel) + 1 :])

    def with_layers(self, layers: Mapping[int, tuple[Layer, ...]]) -> PanelTask:
        """Return the same order with other layers for some elements of the last panel."""
        elements = tuple(
            replace(element, layers=layers.get(n, element.layers))
            for n, element in enumerate(self.last_panel.elements)
        )
        return self._with_panels(
            (*self.recipe.panels[:-1], replace(self.last_panel, elements=elements))
        )

    def _with_panels(self, panels: tuple[Panel, ...]) -> PanelTask:
        return replace(self, recipe=replace(self.recipe, panels=panels))
