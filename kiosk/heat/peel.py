"""When it can be peeled: zones in seconds after opening, each border a range.

An estimate; what a sheet, a trial or a published work says comes first (the plan room's).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import PROPOSED, Peel, Thresholds
from kiosk.heat.curve import Curve
from kiosk.heat.garment import Where
from kiosk.heat.learn import Beta

THRESHOLDS = PROPOSED


class Zone(Enum):
    """Where a moment lies; its word is `heat.zone.<value>`. CLOSING: it may be at its end."""

    TOO_SOON = "too_soon"
    NOW = "now"
    CLOSING = "closing"
    LATE = "late"


@dataclass(frozen=True, slots=True)
class Span:
    """A border in seconds after opening: the 80 % range and its middle."""

    low: float
    middle: float
    high: float

    @property
    def shown(self) -> tuple[int, int]:
        """The range in steps that a person can keep: 1 s to 10 s, 5 s to 2 min, then 15 s."""
        step = 1 if self.high <= 10 else 5 if self.high <= 120 else 15
        return int(self.low // step) * step, -int(-self.high // step) * step


@dataclass(frozen=True, slots=True)
class PeelZones:
    """The borders of one peel. `start` None: it never gets there; `end` None: never late.

    `prompt_seconds` is when to call the operator; `source` says where the times come from.
    """

    peel: Peel
    start: Span | None
    prompt_seconds: float | None
    end: Span | None
    source: Message

    @property
    def now_from(self) -> float | None:
        """When "peel now" begins: as good as surely ready, at the prompt at the latest."""
        if self.start is None or self.prompt_seconds is None:
            return None
        return min(self.start.high, self.prompt_seconds)

    def zone(self, seconds: float) -> Zone:
        """Return the zone of a moment, seconds after opening."""
        begin = self.now_from
        if begin is None or seconds < begin:
            return Zone.TOO_SOON
        if self.end is None or seconds < self.end.low:
            return Zone.NOW
        return Zone.CLOSING if seconds < self.end.middle else Zone.LATE


@dataclass(frozen=True, slots=True)
class Cooling:
    """A garment that cools: its curve from opening on, when it opened, the room, and β.

    `beta` is that of `where` it cools.
    """

    curve: Curve
    opened: float
    room: float
    beta: Beta
    where: Where = Where.LIFTED

    def seconds_to(self, celsius: float) -> float | None:
        """The model's seconds from opening until the bond is at `celsius`, None if never.

        A bond that has opened below it is there at once.
        """
        first = self.curve.samples[0].bond
        if first is not None and first <= celsius:
            return 0.0
        moment = self.curve.falls_to(celsius)
        return None if moment is None else moment - self.opened

    def span_to(self, celsius: float) -> Span | None:
        """The learned range of the same."""
        seconds = self.seconds_to(celsius)
        if seconds is None:
            return None
        beta = self.beta
        return Span(seconds * beta.low, seconds * beta.factor, seconds * beta.high)


def peel_zones(peel: Peel, cooling: Cooling, thresholds: Thresholds = THRESHOLDS) -> PeelZones:
    """Return the zones of `peel`."""
    if peel is Peel.HOT:
        end = cooling.span_to(thresholds.hot_until)
        return PeelZones(peel, Span(0.0, 0.0, 0.0), 0.0, end, _estimate(cooling))
    if peel is Peel.WARM:
        start = cooling.span_to(thresholds.warm_from)
        aim = cooling.span_to(thresholds.warm_aim)
        prompt = aim.middle if aim else start.high if start else None
        return PeelZones(
            peel, start, prompt, cooling.span_to(thresholds.warm_until), _said(start, cooling)
        )
    start = cooling.span_to(thresholds.cold(cooling.room))
    return PeelZones(peel, start, start.high if start else None, None, _said(start, cooling))


def _said(start: Span | None, cooling: Cooling) -> Message:
    if start is not None:
        return _estimate(cooling)
    on_pad = cooling.where is Where.PAD
    return say("heat.peel.never.pad" if on_pad else "heat.peel.never")


def _estimate(cooling: Cooling) -> Message:
    return say("heat.peel.estimate", percent=round(100 * (cooling.beta.high - 1)))
