"""Reads shop.yaml: the presses, what the shop allows, the tablet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from kiosk.catalog.base.message import say
from kiosk.catalog.base.quantities import Degrees, Seconds
from kiosk.catalog.base.spots import Got, Spot
from kiosk.catalog.base.values import (
    Keyed,
    duration,
    flag,
    keyed,
    length,
    one_of,
    or_null,
    rectangle,
    seconds,
    step,
    temperature,
    whole,
)
from kiosk.catalog.model.heat import UNTOLD
from kiosk.catalog.model.house import (
    FIRST_ARTICLE,
    VERIFY,
    Approver,
    Demand,
    FirstArticle,
    Part,
    Verify,
)
from kiosk.catalog.model.sheets import Policy, Press, StationSettings
from kiosk.catalog.model.source import ALL_GUESSED
from kiosk.catalog.sheets.heat import press_heat
from kiosk.catalog.sheets.source import sources

OPENS = {"itself": True, "by hand": False}
LOADS = {"collar toward operator": True, "collar away from operator": False}
LANGUAGES = {code: code for code in ("en", "es")}
DEGREES = {d.value: d for d in Degrees}
LENGTHS = {"in": False, "mm": True}
SMALLEST_SCREEN, LARGEST_SCREEN = 5, 32  # inches
MOST_CLOSINGS = 6  # every ordered split is tried: their number grows as a factorial
PRESS = ("set_temperature", "tolerance", "opens", "loads", "platen")
PRESS_EXTRA = ("closes_in", "heat", "upkeep")
FLAGS = ("keep_setting", "staged_peel", "guard_fabric", "confirm_opening", "bare_tack")
CLOSES_IN = Seconds(Fraction(1), "1 s")
NO_UPKEEP: Mapping[Part, int] = {}


@dataclass(frozen=True, slots=True)
class Shop:
    """The content of shop.yaml."""

    presses: Got[Keyed[Press]]
    policy: Got[Policy]
    station: Got[StationSettings]


def shop(spot: Spot) -> Shop:
    """Return the three parts of shop.yaml, each read or remembered as faulty."""
    f = spot.fields(("presses",), ("policy", "station"))
    presses = f.get("presses", keyed(press))
    usual = StationSettings(temperature=_scale(presses))
    return Shop(
        presses=presses,
        policy=f.get_or("policy", policy, Policy()),
        station=f.get_or("station", partial(station, usual), usual),
    )


def _scale(presses: Got[Keyed[Press]]) -> Degrees:
    """The scale of the shop's presses: what nobody asked for is not shown beside theirs."""
    sound = presses.value.sound.values() if presses.sound else ()
    return next((each.unit for each in sound), Degrees.F)


def press(key: str, spot: Spot) -> Press:
    """Return the press under `key`; Unsound where anything in it is wrong, all noted."""
    f = spot.fields(PRESS, (*PRESS_EXTRA, "source"))
    at, tolerance = f.get("set_temperature", temperature), f.get("tolerance", step)
    opens, loads = f.get("opens", one_of(OPENS)), f.get("loads", one_of(LOADS))
    platen = f.get("platen", rectangle)
    closes_in = f.get_or("closes_in", seconds, CLOSES_IN)
    heat = f.get_or("heat", press_heat, UNTOLD)
    origin = f.get_or("source", sources((*PRESS, *PRESS_EXTRA)), ALL_GUESSED)
    worn = f.get_or("upkeep", upkeep, NO_UPKEEP)
    width, height = platen.value
    return Press(
        key=key,
        set_temperature=at.value,
        tolerance=tolerance.value,
        opens_itself=opens.value,
        collar_toward_operator=loads.value,
        platen_width=width,
        platen_height=height,
        closes_in=closes_in.value,
        heat=heat.value,
        upkeep=worn.value,
        source=origin.value,
    )


def policy(spot: Spot) -> Policy:
    """Return what the shop allows; what is not written keeps its default."""
    f = spot.fields((), (*FLAGS, "max_closings", "verify", "first_article", "scrap_limit", "trial"))
    usual = Policy()
    flags = {name: f.get_or(name, flag, getattr(usual, name)) for name in FLAGS}
    most = f.get_or("max_closings", whole(1, MOST_CLOSINGS), usual.max_closings)
    checks = f.get_or("verify", verify, usual.verify)
    first = f.get_or("first_article", first_article, usual.first_article)
    tried = f.get_or("trial", one_of(DEMANDS), usual.trial)
    scraps = f.get_or("scrap_limit", or_null(scrap_limit), None)
    return Policy(
        max_closings=most.value,
        verify=checks.value,
        first_article=first.value,
        scrap_limit=scraps.value or 0,
        trial=tried.value,
        **{name: got.value for name, got in flags.items()},
    )


def station(usual: StationSettings, spot: Spot) -> StationSettings:
    """Return the tablet's settings; what is not written is as in `usual`."""
    f = spot.fields((), ("screen", "language", "temperature", "length", "voice", "motion"))
    screen = f.get_or("screen", _screen_inches, usual.screen_inches)
    language = f.get_or("language", one_of(LANGUAGES), usual.language)
    degrees = f.get_or("temperature", one_of(DEGREES), usual.temperature)
    millimetres = f.get_or("length", one_of(LENGTHS), usual.millimetres)
    voice = f.get_or("voice", flag, usual.voice)
    motion = f.get_or("motion", flag, not usual.still)
    return StationSettings(
        screen.value,
        language.value,
        degrees.value,
        millimetres.value,
        voice.value,
        not motion.value,
    )


def _screen_inches(spot: Spot) -> float:
    inches = length(spot).inches
    if not SMALLEST_SCREEN <= inches <= LARGEST_SCREEN:
        raise spot.wrong(say("catalog.amount.range"), allowed=say("catalog.range.screen"))
    return float(inches)


DEMANDS = {demand.value: demand for demand in Demand}
APPROVERS = {approver.value: approver for approver in Approver}
MOST_SCRAPS = 99
MOST_CLOSINGS_BETWEEN = 9_999_999


def verify(spot: Spot) -> Verify:
    """Return `{demand, offset, spread, valid, idle}`; what is not written keeps its default."""
    f = spot.fields((), ("demand", "offset", "spread", "valid", "idle"))
    demand = f.get_or("demand", one_of(DEMANDS), VERIFY.demand)
    offset = f.get_or("offset", step, VERIFY.offset)
    spread = f.get_or("spread", step, VERIFY.spread)
    valid = f.get_or("valid", duration, VERIFY.valid)
    idle = f.get_or("idle", duration, VERIFY.idle)
    return Verify(demand.value, offset.value, spread.value, valid.value, idle.value)


def first_article(spot: Spot) -> FirstArticle:
    """Return `{demand, approver}`; what is not written keeps its default."""
    f = spot.fields((), ("demand", "approver"))
    demand = f.get_or("demand", one_of(DEMANDS), FIRST_ARTICLE.demand)
    approver = f.get_or("approver", one_of(APPROVERS), FIRST_ARTICLE.approver)
    return FirstArticle(demand.value, approver.value)


def scrap_limit(spot: Spot) -> int:
    """Return how many scraps of one cause hold a job."""
    return whole(1, MOST_SCRAPS)(spot)


def upkeep(spot: Spot) -> Mapping[Part, int]:
    """Return after how many closings each part of a press is to be seen to."""
    f = spot.fields((), tuple(part.value for part in Part))
    read = whole(1, MOST_CLOSINGS_BETWEEN)
    got = {part: f.get(part.value, read) for part in Part if part.value in f.entries}
    return {part: each.value for part, each in got.items()}
