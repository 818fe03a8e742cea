"""A garment's acts, and an idle press's, as a story for the solver; when it can be peeled."""

from collections.abc import Sequence
from dataclasses import replace
from enum import Enum
from itertools import pairwise

from kiosk.catalog.base import dataclass
from kiosk.catalog.model import PROPOSED, DyeRisk, Fabric, Peel, Range, Thresholds
from kiosk.heat import stack as model
from kiosk.heat.curve import Curve
from kiosk.heat.learn import Beta

PRESS_LAYERS = ("pad", "lower")  # the layers that stay in the press from one garment to the next


class GarmentPlace(Enum):
    """Where the garment is: on the lower platen's pad, flat off it, or (for reference) waved."""

    PAD = "pad"
    LIFTED = "lifted"
    WAVED = "waved"


@dataclass(frozen=True, slots=True)
class Act:
    """A time during which nothing is put on, taken off, opened or closed.

    `films` are those on the cloth; `carrier` is whether the top film's is still on, `sheet` whether
    the cover sheet is; if `empty`, the pad lies bare.
    """

    name: str
    seconds: float
    closed: bool = False
    films: int = 0
    carrier: bool = False
    sheet: bool = False
    where: GarmentPlace = GarmentPlace.PAD
    empty: bool = False


@dataclass(frozen=True, slots=True)
class Setup:
    """What does not change while a garment is pressed; °C. `plies` is 2 for a whole shirt.

    `pad` and `lower` are starting temperatures, None for the room's. `films` are film and carrier
    of each layer from the cloth up; layers beyond them have those of `properties`.
    """

    platen: float
    room: float = 23.0
    cloth: model.Cloth = model.Cloth.LIGHT
    carrier: model.Carrier = model.Carrier.PET
    plies: int = 2
    pad: float | None = None
    lower: float | None = None
    properties: model.Properties = model.PROPERTIES
    films: tuple[tuple[model.Body, model.Body], ...] = ()

    def film(self, number: int) -> tuple[model.Body, model.Body]:
        """Return film and carrier of layer `number`; layer 1 lies on the cloth."""
        if number <= len(self.films):
            return self.films[number - 1]
        return self.properties.film, self.properties.carriers[self.carrier]


def story(setup: Setup, acts: Sequence[Act]) -> model.HeatStory:
    """Return the acts as a story; the bond watched is that of the lowest film."""
    films = max((act.films for act in acts), default=0)
    return model.HeatStory(
        room=setup.room,
        layers=_layers(setup, films),
        contacts=_contacts(setup.properties, films, setup.plies),
        stages=tuple(_stage(setup, act) for act in acts),
        bond=("film1", "cloth1"),
    )


def _layers(setup: Setup, films: int) -> dict[str, model.HeatLayer]:
    data = setup.properties
    found = {"sheet": model.layer(data.sheet, 2)}
    for n in range(1, films + 1):
        film, carrier = setup.film(n)
        found[f"film{n}"] = model.layer(film, 2)
        found[f"carrier{n}"] = model.layer(carrier, 2)
    for n in range(1, setup.plies + 1):
        found[f"cloth{n}"] = model.layer(data.cloths[setup.cloth], 3)
    pad, lower = model.layer(data.pad, 10, 1.35), model.layer(data.lower, 1)
    found["pad"] = _warm(pad, setup.pad, setup.lower)
    found["lower"] = _warm(lower, setup.lower, setup.lower)
    return found


def _warm(cold: model.HeatLayer, top: float | None, bottom: float | None) -> model.HeatLayer:
    return replace(cold, top=top, bottom=bottom)


def _contacts(data: model.Properties, films: int, plies: int) -> dict[str, tuple[float, float]]:
    names = [f"{kind}{n}" for n in range(1, films + 1) for kind in ("carrier", "film")]
    cloths = [f"cloth{n}" for n in range(1, plies + 1)]
    found = {"default": data.contacts["sheet"]}
    for n in range(1, films + 1):
        found[f"carrier{n}|film{n}"] = data.contacts["carrier|film"]
        found[f"film{n}|film{n - 1}"] = data.contacts["film|film"]
        found[f"film{n}|cloth1"] = data.contacts["film|cloth"]
    for upper, lower in pairwise(cloths):
        found[f"{upper}|{lower}"] = data.contacts["cloth|cloth"]
    found[f"cloth{plies}|pad"] = data.contacts["cloth|pad"]
    found["pad|lower"] = data.contacts["pad|lower"]
    return found | {f"sheet|{name}": data.contacts["sheet"] for name in (*names, *cloths)}


def _stage(setup: Setup, act: Act) -> model.HeatStage:
    stack = [] if act.empty else _garment(setup, act)
    stack += PRESS_LAYERS if act.where is GarmentPlace.PAD else ()
    top, bottom = _faces(setup, act)
    return model.HeatStage(act.name, act.seconds, tuple(stack), act.closed, top, bottom)


def _garment(setup: Setup, act: Act) -> list[str]:
    above = ["sheet"] if act.sheet else []
    above += [f"carrier{act.films}"] if act.carrier and act.films else []
    films = [f"film{n}" for n in range(act.films, 0, -1)]
    return above + films + [f"cloth{n}" for n in range(1, setup.plies + 1)]


def _faces(setup: Setup, act: Act) -> tuple[model.Face, model.Face]:
    data, room = setup.properties, setup.room
    if act.where is not GarmentPlace.PAD:
        speed = data.waved_metres_per_second if act.where is GarmentPlace.WAVED else 0.0
        air = model.Air(room, data.free_hanging, data.emissivity, speed)
        return air, air
    below = model.Air(room, data.free_down, data.emissivity)
    if act.closed:
        return model.Plate(setup.platen, data.platen), below
    above = model.Air(room, data.free_up, data.emissivity, 0.0, 0.3, data.overhead, setup.platen)
    return above, below


def cloth_of(fabric: Fabric) -> model.Cloth:
    """Return the model's cloth for a fabric: the shop's word, else by its dye risk.

    Light (polyester) if its dye migrates, else heavy: an assumption, as sheets do not give a
    weight.
    """
    if fabric.heat is not None:
        return fabric.heat.cloth
    return model.Cloth.HEAVY if fabric.dye_risk is DyeRisk.NONE else model.Cloth.LIGHT


LIFTING_SECONDS = 2.0  # from opening until the garment is off the pad
LAYING_SECONDS = 10.0


def cooling_acts(films: int, carrier: bool, where: GarmentPlace, seconds: float) -> tuple[Act, ...]:
    """Return the acts after opening, `seconds` in all; off the pad after LIFTING_SECONDS."""
    on_pad = seconds if where is GarmentPlace.PAD else min(LIFTING_SECONDS, seconds)
    return (
        Act("cool", on_pad, films=films, carrier=carrier),
        Act("cool", seconds - on_pad, films=films, carrier=carrier, where=where),
    )


def idle(seconds: float, closed: bool = False) -> Act:
    """Return an act of the empty press, open or closed, lasting `seconds`."""
    return Act("idle", seconds, closed=closed, empty=True)


@dataclass(frozen=True, slots=True)
class PeelZones:
    """One peel's limits, and when to call for it (`prompt_seconds`), in seconds after opening.

    No `start`: never ready; no `end`: never late.
    """

    peel: Peel
    start: Range | None
    prompt_seconds: float | None
    end: Range | None

    @property
    def now_from(self) -> float | None:
        """When "peel now" begins: almost surely ready, but no later than the prompt."""
        if self.start is None or self.prompt_seconds is None:
            return None
        return min(self.start.high, self.prompt_seconds)


@dataclass(frozen=True, slots=True)
class Cooling:
    """A cooling garment: its curve from opening on, when it opened, the room, and its β."""

    curve: Curve
    opened: float
    room: float
    beta: Beta

    def seconds_to(self, celsius: float) -> float | None:
        """Return seconds from opening until the bond is at `celsius`: 0 if below, None if never."""
        first = self.curve.samples[0].bond
        if first is not None and first <= celsius:
            return 0.0
        moment = self.curve.falls_to(celsius)
        return None if moment is None else moment - self.opened

    def span_to(self, celsius: float) -> Range | None:
        """Return the learned range of `seconds_to`, or None if that is None."""
        seconds = self.seconds_to(celsius)
        if seconds is None:
            return None
        low, factor, high = self.beta.span
        return Range(seconds * low, seconds * factor, seconds * high)


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
