"""The heat of a pass, described and drawn before it is pressed; it never changes a dwell."""

from collections.abc import Iterator
from functools import lru_cache
from math import ceil, floor

from kiosk.catalog.base import Degrees, Message, Value, dataclass, degrees, say
from kiosk.catalog.model import Peel, Thresholds
from kiosk.heat import heat_taken as effect
from kiosk.heat.curve import SolvedCurves, bond
from kiosk.heat.garment import GarmentPlace
from kiosk.heat.solver import Sample
from kiosk.plan.heat.story import AFTER_HEAT, heat_setup, planned_acts, solved_pass
from kiosk.plan.heat.waits import is_guessed, wait_words
from kiosk.plan.model import Pass, PeelPlace, PeelWait, Phase, Step
from kiosk.plan.sources import HeatStack


@dataclass(frozen=True, slots=True)
class TackHeat:
    """One tack: its seconds, whether the sheet is on, and the bond's peak temperature in °C."""

    seconds: int
    sheet: bool
    bond: float


@dataclass(frozen=True, slots=True)
class HeatSummary:
    """The heat that the cloth takes in a pass, what each first-layer tack reaches, and advice."""

    heat: effect.HeatTaken
    tacks: tuple[TackHeat, ...]
    advice: tuple[Message, ...]


def cooling_place(each: Pass) -> GarmentPlace:
    """Return where a pass's garment cools: on the pad for a hot peel, else flat off the platen."""
    hot = each.wait is None or each.wait.peel is Peel.HOT
    return GarmentPlace.PAD if hot else GarmentPlace.LIFTED


def heat_summary(each: Pass, unit: Degrees) -> HeatSummary | None:
    """Return the heat summary of a pass, advice in `unit`; None if no model fits its stack.

    Advice covers a tack under the sheet and the cold pad of the first garment; the planned dwell is
    never changed.
    """
    if each.heat is None:
        return None
    tack = next((step for step in each.steps if step.phase is Phase.TACK), None)
    return _summary(each.heat, cooling_place(each), tack, unit)


@lru_cache(maxsize=16)  # proof, setting and passes ask for the same stack
def _summary(
    stack: HeatStack, where: GarmentPlace, tack: Step | None, unit: Degrees
) -> HeatSummary:
    solved = solved_pass(stack, where)
    tacks = () if tack is None else tuple(_tacks(tack, solved))
    return HeatSummary(effect.heat_taken(solved), tacks, tuple(_advice(tack, stack, unit)))


def sentences(summary: HeatSummary, unit: Degrees) -> Iterator[Message]:
    """Yield the sentences in `unit`: the summary first, then the advice."""
    yield say(
        "heat.taken",
        **_range_values("seconds", summary.heat.seconds_between),
        above=degrees(effect.COUNTED_ABOVE, unit),
        **_range_values("equivalent", summary.heat.equivalent_between),
        reference=degrees(effect.ARRHENIUS.reference, unit),
        **_degrees("highest", summary.heat.highest, effect.BOND_KELVIN, unit),
        **_range_values(
            "energy", effect.EstimateRange(*(joules / 1000 for joules in effect.ACTIVATION_RANGE))
        ),
        unit=unit.value,
    )
    for tack in summary.tacks:
        yield say(
            "heat.tack.with_sheet" if tack.sheet else "heat.tack.bare",
            seconds=tack.seconds,
            **_degrees("bond", tack.bond, effect.TACK_KELVIN, unit),
            unit=unit.value,
        )
    yield from summary.advice


def _range_values(name: str, between: effect.EstimateRange) -> dict[str, Value]:
    return {f"{name}_low": floor(between.low), f"{name}_high": ceil(between.high)}


def _degrees(name: str, celsius: float | None, off: float, unit: Degrees) -> dict[str, Value]:
    """A temperature as a range of plus or minus `off`; None for both ends if unknown."""
    if celsius is None:
        return {f"{name}_low": None, f"{name}_high": None}
    low, high = (degrees(each, unit) for each in effect.around(celsius, off))
    return {f"{name}_low": low, f"{name}_high": high}


def basis(wait: PeelWait) -> Message:
    """Return what one peel's time rests on, with the range of an estimate."""
    peel, source = say(f"peel.{wait.peel.word}"), wait_words(wait)
    if wait.ready is None or is_guessed(wait):
        start, end = round(wait.from_seconds), round(wait.to_seconds)
        return say("curve.basis.told", peel=peel, source=source, start=start, end=end)
    ready = {"low": round(wait.ready.low), "high": round(wait.ready.high)}
    if wait.late is None:
        return say("curve.basis.ready", peel=peel, source=source, **ready)
    late = {"late_low": round(wait.late.low), "late_high": round(wait.late.high)}
    form = "closing" if wait.ready.high == 0 else "both"
    return say(f"curve.basis.{form}", peel=peel, source=source, **ready, **late)


def _tacks(step: Step, solved: SolvedCurves) -> Iterator[TackHeat]:
    """The first tack: the bond watched is that of the lowest film."""
    if step.seconds is None:
        return
    curves = (curve for stage, curve in solved.stages if stage.name == Phase.TACK.value)
    highest = next((curve.highest(bond) for curve in curves), None)
    if highest is not None:
        yield TackHeat(step.seconds, step.sheet, highest)


def _advice(step: Step | None, stack: HeatStack, unit: Degrees) -> Iterator[Message]:
    if step is not None:
        tack = next(act for act in planned_acts(stack) if act.name == Phase.TACK.value)
        most = tack.seconds if step.most_seconds is None else float(step.most_seconds)
        if longer := effect.tack_under_sheet(heat_setup(stack), tack, most, unit):
            yield longer
    if warmer := effect.cold_pad(heat_setup(stack, pad=None), planned_acts(stack), unit=unit):
        yield Message("heat.pad.first", warmer.values)


KEPT_KELVIN = 1.0  # a sample nearer than this and KEPT_SHARE of the time is left out
KEPT_SHARE = 1 / 300
LEAST_AFTER, ROOM_AFTER = 60.0, 1.15  # least seconds shown after opening; times the last border
COOLING = "cool"


@dataclass(frozen=True, slots=True)
class PhaseSpan:
    """A phase by its word (`cool` after the final); start and end in seconds from loading."""

    phase: str
    start: float
    end: float
    closed: bool


@dataclass(frozen=True, slots=True)
class PeelTemperature:
    """A temperature that a peel goes by, °C; `name` is `hot`, `warm_from`, `warm_to` or `cold`."""

    name: str
    celsius: float


@dataclass(frozen=True, slots=True)
class HeatCurve:
    """Points in seconds from loading, with bond and cloth in °C (None if absent), to be joined.

    `opened` is when the final ends; the times of `wait` count from there.
    """

    points: tuple[Sample, ...]
    phases: tuple[PhaseSpan, ...]
    levels: tuple[PeelTemperature, ...]
    opened: float
    place: PeelPlace
    wait: PeelWait | None

    @property
    def end(self) -> float:
        """The last moment shown, in seconds."""
        return self.phases[-1].end

    @property
    def highest(self) -> float:
        """The highest temperature shown, in °C."""
        return max(t for p in self.points for t in (p.bond, p.cloth) if t is not None)


def heat_curve(each: Pass) -> HeatCurve | None:
    """Return the curve of a pass as planned, in the middle of a shift; None without a model."""
    stack = each.heat
    if stack is None:
        return None
    solved = solved_pass(stack, cooling_place(each))
    least_end = solved.opened + _seconds_after(each.wait)
    samples = solved.whole.samples
    end = next((sample.time for sample in samples if sample.time >= least_end), samples[-1].time)
    return HeatCurve(
        points=tuple(_thinned(solved, end)),
        phases=(*_phases(stack), PhaseSpan(COOLING, solved.opened, end, closed=False)),
        levels=_levels(stack.peel_at, stack.room, each.wait),
        opened=solved.opened,
        place=each.place,
        wait=each.wait,
    )


def _seconds_after(wait: PeelWait | None) -> float:
    """How many seconds after opening are worth showing."""
    if wait is None:
        return LEAST_AFTER
    moments = [wait.from_seconds, wait.prompt_seconds or 0.0]
    moments += [span.high for span in (wait.ready, wait.late) if span is not None]
    if wait.ready is None:
        moments.append(min(wait.to_seconds, 3 * wait.from_seconds))
    return max(LEAST_AFTER, ROOM_AFTER * max(moments))


def _thinned(solved: SolvedCurves, end: float) -> Iterator[Sample]:
    """Leave out samples that the eye would not miss."""
    last: Sample | None = None
    samples = [sample for sample in solved.whole.samples if sample.time <= end]
    for sample in samples:
        if last is None or sample is samples[-1] or _differs(last, sample, end):
            yield sample
            last = sample


def _differs(last: Sample, sample: Sample, end: float) -> bool:
    if sample.time - last.time >= end * KEPT_SHARE or sample.time == last.time:
        return True
    pairs = ((last.bond, sample.bond), (last.cloth, sample.cloth))
    if any((a is None) != (b is None) for a, b in pairs):
        return True
    return any(a is not None and b is not None and abs(a - b) >= KEPT_KELVIN for a, b in pairs)


def _phases(stack: HeatStack) -> Iterator[PhaseSpan]:
    begin = 0.0
    for state in stack.states:
        if state.phase in AFTER_HEAT:
            return
        if state.seconds > 0:
            yield PhaseSpan(state.phase, begin, begin + state.seconds, state.closed)
        begin += state.seconds


def _levels(peel_at: Thresholds, room: float, wait: PeelWait | None) -> tuple[PeelTemperature, ...]:
    if wait is None:
        return ()
    if wait.peel is Peel.HOT:
        return (PeelTemperature("hot", peel_at.hot_until),)
    if wait.peel is Peel.COLD:
        return (PeelTemperature("cold", peel_at.cold(room)),)
    return (
        PeelTemperature("warm_from", peel_at.warm_from),
        PeelTemperature("warm_to", peel_at.warm_until),
    )
