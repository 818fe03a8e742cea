"""When it can be peeled: zones in seconds after opening, each border a range.

An estimate; what a sheet, a trial or a published work says comes first (the plan room's).
"""

from dataclasses import dataclass

from kiosk.catalog.model import PROPOSED, Peel, Range, Thresholds
from kiosk.heat.curve import Curve
from kiosk.heat.learn import Beta


@dataclass(frozen=True, slots=True)
class PeelZones:
    """The borders of one peel; `start` None: never, `end` None: never late; when to call for it."""

    peel: Peel
    start: Range | None
    prompt_seconds: float | None
    end: Range | None

    @property
    def now_from(self) -> float | None:
        """When "peel now" begins: as good as surely ready, at the prompt at the latest."""
        if self.start is None or self.prompt_seconds is None:
            return None
        return min(self.start.high, self.prompt_seconds)


@dataclass(frozen=True, slots=True)
class Cooling:
    """A garment that cools: its curve from opening on, when it opened, the room, and β there."""

    curve: Curve
    opened: float
    room: float
    beta: Beta

    def seconds_to(self, celsius: float) -> float | None:
        """Return the seconds from opening until the bond is at `celsius`: 0 if below, or None."""
        first = self.curve.samples[0].bond
        if first is not None and first <= celsius:
            return 0.0
        moment = self.curve.falls_to(celsius)
        return None if moment is None else moment - self.opened

    def span_to(self, celsius: float) -> Range | None:
        """The learned range of the same."""
        seconds = self.seconds_to(celsius)
        if seconds is None:
            return None
        beta = self.beta
        return Range(seconds * beta.low, seconds * beta.factor, seconds * beta.high)


def peel_zones(peel: Peel, cooling: Cooling, thresholds: Thresholds = PROPOSED) -> PeelZones:
    """Return the zones of `peel`."""
    if peel is Peel.HOT:
        end = cooling.span_to(thresholds.hot_until)
        return PeelZones(peel, Range(0.0, 0.0, 0.0), 0.0, end)
    if peel is Peel.WARM:
        start = cooling.span_to(thresholds.warm_from)
        aim = cooling.span_to(thresholds.warm_aim)
        prompt = aim.middle if aim else start.high if start else None
        return PeelZones(peel, start, prompt, cooling.span_to(thresholds.warm_until))
    start = cooling.span_to(thresholds.cold(cooling.room))
    return PeelZones(peel, start, start.high if start else None, None)
