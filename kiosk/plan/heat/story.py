"""From a closing group's sheets to a heat stack and its story; the longest a closing may last."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from itertools import takewhile
from math import floor

from kiosk.catalog.base import Degrees, converted
from kiosk.catalog.model import Carrier, Cloth, Element, Material, Surface, Thresholds
from kiosk.heat.curve import SolvedCurves, solve
from kiosk.heat.garment import Act, GarmentPlace, Setup, cloth_of, cooling_acts, story
from kiosk.heat.stack import CARRIERS, CLOTHS, FILM, LOWER_PLATEN, PAD, PROPERTIES, SHEET, with_own
from kiosk.plan.group import ClosingGroup
from kiosk.plan.model import (
    FABRIC,
    FREEING,
    HOT_PHASES,
    LAYING,
    Closing,
    Pass,
    PeelPlace,
    Phase,
    Purpose,
    Step,
)
from kiosk.plan.settings import read_cloth, read_sheet
from kiosk.plan.sources import HeatFilm, HeatLeft, HeatStack, HeatState
from kiosk.plan.time.handling import carrier_waits, hands

AFTER_HEAT = (Phase.PEEL.value, Phase.INSPECT.value)
PAD_WARM, LOWER_WARM = 60.0, 50.0  # °C, in the middle of a shift: an assumption
COOLING_SECONDS = {GarmentPlace.LIFTED: 420.0, GarmentPlace.WAVED: 420.0, GarmentPlace.PAD: 600.0}


def heat_setup(stack: HeatStack, pad: float | None = PAD_WARM) -> Setup:
    """Return a story's constant part; `pad` in °C at its start, None for a cold first garment."""
    data = replace(
        PROPERTIES,
        sheet=stack.sheet,
        pad=stack.pad,
        lower=stack.lower,
        cloths={Cloth.LIGHT: stack.cloth},
        overhead=stack.overhead,
    )
    return Setup(
        stack.platen,
        stack.room,
        Cloth.LIGHT,
        Carrier.PET,
        stack.plies,
        pad,
        None if pad is None else min(pad, LOWER_WARM),
        data,
        tuple((each.film, each.carrier) for each in stack.films),
    )


def planned_acts(stack: HeatStack) -> tuple[Act, ...]:
    """Return the acts from loading to the end of the final, with planned durations."""
    acts = (
        Act(
            state.phase,
            state.seconds,
            closed=state.closed,
            films=state.films,
            carrier=state.carrier,
            sheet=state.sheet,
            where=GarmentPlace.LIFTED if state.lifted else GarmentPlace.PAD,
        )
        for state in takewhile(lambda state: state.phase not in AFTER_HEAT, stack.states)
    )
    return tuple(act for act in acts if act.seconds > 0)


def solved_pass(stack: HeatStack, where: GarmentPlace) -> SolvedCurves:
    """Return the temperatures of a planned pass and its cooling, in the middle of a shift."""
    return _solved(replace(stack, piece="", peel_at=Thresholds()), where)


@lru_cache(maxsize=64)
def _solved(stack: HeatStack, where: GarmentPlace) -> SolvedCurves:
    acts = planned_acts(stack)
    films, carrier = acts[-1].films, acts[-1].carrier
    cooling = cooling_acts(films, carrier, where, COOLING_SECONDS[where])
    return solve(story(heat_setup(stack), (*acts, *cooling)))


PLIES = 2  # a shirt's two sides


def heat_stack(group: ClosingGroup, steps: Sequence[Step], piece: str) -> HeatStack | None:
    """Return the stack at `piece`; None if no model fits one of its layers.

    Pile holds air, unlike film: it is modelled only if the shop gives its heat values.
    """
    element = next(e for e in group.panel.elements if piece in e.pieces())
    materials = [group.materials[layer.material] for layer in element.layers]
    if any(sheet.surface is Surface.PILE and sheet.heat is None for sheet in materials):
        return None
    fabric, press, setting = group.fabric, group.press.heat, float(group.final.temperature)
    return HeatStack(
        piece=piece,
        platen=round(converted(setting, group.settings.unit, Degrees.C), 3),
        room=press.room,
        cloth=with_own(CLOTHS[cloth_of(fabric)], fabric.heat.body if fabric.heat else None),
        plies=PLIES,
        films=tuple(_film(sheet) for sheet in materials),
        sheet=SHEET,
        pad=with_own(PAD, press.pad),
        lower=LOWER_PLATEN,
        overhead=press.overhead,
        peel_at=group.material(piece).peel_at,
        states=tuple(_states(group, steps, element)),
    )


def heat_left(group: ClosingGroup) -> tuple[HeatLeft, ...]:
    """Return what remains of the heat totals of the fabric and of every piece under the final."""
    planned = group.settings.element_heat_seconds
    cloth = floor(group.fabric.total_heat.value)
    pieces = (
        HeatLeft(piece, floor(group.material(piece).total_heat.value), planned[piece])
        for piece in group.in_order(group.final.heated)
    )
    return (HeatLeft(FABRIC, cloth, group.settings.fabric_heat_seconds), *pieces)


def _film(sheet: Material) -> HeatFilm:
    if sheet.heat is None:
        return HeatFilm(FILM, next(iter(CARRIERS.values())))
    return HeatFilm(with_own(FILM, sheet.heat.film), CARRIERS[sheet.heat.carrier])


def _states(group: ClosingGroup, steps: Sequence[Step], element: Element) -> Iterator[HeatState]:
    """What is on the cloth during each step: laid or freed pieces count from the next step."""
    films, carrier = 0, False
    for step, wait in zip(steps, carrier_waits(steps), strict=True):
        hot = step.phase in HOT_PHASES
        usual = hands(step)
        seconds = float(step.seconds or 0) if hot else (usual.low + usual.high) / 2
        seconds += wait.low
        lifted = step.place is not PeelPlace.PRESS
        yield HeatState(step.phase.value, films, carrier, hot and step.sheet, hot, seconds, lifted)
        own_pieces = [p for p in element.pieces() if p in step.pieces]
        if own_pieces and step.phase in LAYING:
            films = element.pieces().index(own_pieces[-1]) + 1
            carrier = group.material(own_pieces[-1]).carrier
        elif own_pieces and step.phase in FREEING:
            carrier = False


def longest_closing(group: ClosingGroup, closing: Closing) -> int:
    """Return the most whole seconds allowed by dwell, fabric and totals, rounded as in settings."""
    limits = [
        *_piece_limits(group, closing),
        *_cloth_limits(group, closing.temperature, closing.dwell_seconds),
        *_total_limits(group, closing),
    ]
    return min(limits)


def longest_pre_press(group: ClosingGroup) -> int:
    """Return the most whole seconds of the group's pre-press: only the fabric limits it."""
    return min(_cloth_limits(group, group.first.temperature, group.pre_press_seconds))


def _piece_limits(group: ClosingGroup, closing: Closing) -> Iterator[int]:
    """The most seconds of each piece that the closing is for, at the closing's temperature."""
    for piece in closing.pieces:
        sheet = read_sheet(group.material(piece), group.settings.unit)
        tack = closing.purpose is Purpose.TACK
        window = sheet.tack if tack else sheet.dwell_at(closing.temperature)
        if window is not None:
            yield window.high


def _cloth_limits(group: ClosingGroup, temperature: int, seconds: int) -> Iterator[int]:
    """What the fabric allows in one closing, and what remains of its total."""
    cloth = read_cloth(group.fabric, group.settings.unit)
    yield cloth.most_at(temperature)
    yield cloth.total_seconds - (group.settings.fabric_heat_seconds - seconds)


def _total_limits(group: ClosingGroup, closing: Closing) -> Iterator[int]:
    """What remains of the totals of all pieces under the platen."""
    for piece in closing.heated:
        elsewhere = group.settings.element_heat_seconds[piece] - closing.dwell_seconds
        yield floor(group.material(piece).total_heat.value) - elsewhere


def final_seconds(each: Pass) -> int:
    """Return the dwell of the pass's final, whole seconds."""
    return next((s.seconds or 0 for s in each.steps if s.phase is Phase.FINAL), 0)


def broken_by_another_final(each: Pass, more_seconds: float = 0.0) -> tuple[HeatLeft, ...]:
    """Return the totals that pressing this pass again would exceed; if empty, it may be offered.

    `more_seconds` is the heat that the garment has had beyond the plan: over-runs, unplanned
    closings, and any earlier re-pressing. A plan of an older version has no totals, so none are
    exceeded.
    """
    added = more_seconds + final_seconds(each)
    return tuple(x for x in each.heat_left if x.planned_seconds + added > x.limit_seconds)
