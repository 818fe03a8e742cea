"""Read shop.yaml: the presses, the policy, the tablet, the shop's server."""

import re
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import partial

from kiosk.catalog.base import dataclass, values
from kiosk.catalog.base.fields import LEFT_OUT, Field, FieldTable, Prompt, read_fields
from kiosk.catalog.base.notes import say
from kiosk.catalog.base.quantities import Degrees, Seconds
from kiosk.catalog.base.spots import Spot, ValueRead, attempt
from kiosk.catalog.model.house import (
    LANGUAGES,
    Approver,
    Database,
    Demand,
    FirstArticle,
    Policy,
    PressPart,
    StationSettings,
    Verify,
)
from kiosk.catalog.model.sheets import Press
from kiosk.catalog.sheets.materials import press_heat
from kiosk.catalog.sheets.parts import source_of

OPENS = {"itself": True, "by hand": False}
LOADS = {"collar toward operator": True, "collar away from operator": False}
DEGREES = {d.value: d for d in Degrees}
LENGTHS = {"in": False, "mm": True}
SMALLEST_SCREEN, LARGEST_SCREEN = 5, 32  # inches
MOST_CLOSINGS = 6  # every ordered split is tried, and their number grows as a factorial
FLAGS = ("keep_setting", "staged_peel", "guard_fabric", "confirm_opening", "bare_tack")
MOST_SCRAPS = 99
MOST_CLOSINGS_BETWEEN = 9_999_999


@dataclass(frozen=True, slots=True)
class ShopFile:
    """The content of shop.yaml."""

    presses: ValueRead[values.KeyedEntries[Press]]
    policy: ValueRead[Policy]
    station: ValueRead[StationSettings]
    database: ValueRead[Database]


def shop(spot: Spot) -> ShopFile:
    """Return the four parts of shop.yaml; a faulty part has no value."""
    presses = Field("presses", values.keyed(PRESS.under))
    rest = tuple(Field(key, lambda _: None, LEFT_OUT) for key in ("policy", "station", "shop"))
    found = read_fields(spot, (presses, *rest))
    entries, press_list = found.entries, found.results["presses"]
    usual, own_policy = StationSettings(temperature=_scale(press_list)), ValueRead((Policy(),))
    tablet = ValueRead((usual,))
    if "policy" in entries:
        own_policy = attempt(policy, entries["policy"])
    if "station" in entries:
        tablet = attempt(_station(usual), entries["station"])
    server = attempt(database, entries["shop"]) if "shop" in entries else ValueRead((Database(),))
    return ShopFile(press_list, own_policy, tablet, server)


def _scale(presses: ValueRead[values.KeyedEntries[Press]]) -> Degrees:
    """Return the scale of the shop's presses, the default for the tablet."""
    sound = presses.value.sound.values() if presses.sound else ()
    return next((each.unit for each in sound), Degrees.F)


def _screen_inches(spot: Spot) -> float:
    inches = values.length(spot).inches
    if not SMALLEST_SCREEN <= inches <= LARGEST_SCREEN:
        raise spot.wrong(say("catalog.amount.range"), allowed=say("catalog.range.screen"))
    return float(inches)


DEMANDS = {demand.value: demand for demand in Demand}
APPROVERS = {approver.value: approver for approver in Approver}
_DEMAND = Field("demand", values.OneOf(DEMANDS), LEFT_OUT)
verify = FieldTable(
    Verify,
    (
        _DEMAND,
        Field("offset", values.step, LEFT_OUT),
        Field("spread", values.step, LEFT_OUT),
        Field("valid", values.duration, LEFT_OUT),
        Field("idle", values.duration, LEFT_OUT),
    ),
)
first_article = FieldTable(
    FirstArticle, (_DEMAND, Field("approver", values.OneOf(APPROVERS), LEFT_OUT))
)


def _scraps(spot: Spot) -> int:
    """Return the number of scraps of one cause that holds a job; 0 for no limit."""
    return values.OrNull(values.whole(1, MOST_SCRAPS))(spot) or 0


policy = FieldTable(
    Policy,
    (
        *(Field(name, values.flag, LEFT_OUT) for name in FLAGS),
        Field("max_closings", values.whole(1, MOST_CLOSINGS), LEFT_OUT),
        Field("verify", verify, LEFT_OUT),
        Field("first_article", first_article, LEFT_OUT),
        Field("scrap_limit", _scraps, LEFT_OUT),
        Field("trial", values.OneOf(DEMANDS), LEFT_OUT),
        Field("proof", values.OneOf(DEMANDS), LEFT_OUT),
    ),
)
"""The reader of the shop's policy; missing keys keep their defaults."""


def _upkeep(**closings: int) -> Mapping[PressPart, int]:
    return {PressPart(name): count for name, count in closings.items()}


_UPKEEP_FIELDS = tuple(
    Field(p.value, values.whole(1, MOST_CLOSINGS_BETWEEN), LEFT_OUT) for p in PressPart
)
_NEEDED = (
    Field("set_temperature", values.setting, prompt=Prompt("300 F / 150 C")),
    Field("tolerance", values.step, prompt=Prompt("5 F / 3 C")),
    Field("opens", values.OneOf(OPENS), into="opens_itself", prompt=Prompt("by hand")),
    Field("loads", values.OneOf(LOADS), into="collar_toward_operator",
          prompt=Prompt("collar toward operator")),
    Field("platen", values.rectangle, into="platen_width platen_height",
          prompt=Prompt("15 in x 15 in / 380 mm x 380 mm")),
)  # fmt: skip
_OPTIONAL = (
    Field("closes_in", values.seconds, Seconds(Fraction(1), "1 s"), prompt=Prompt()),
    Field("heat", press_heat, LEFT_OUT),
    Field("upkeep", FieldTable(_upkeep, _UPKEEP_FIELDS), LEFT_OUT),
)
PRESS = FieldTable(Press, (*_NEEDED, *_OPTIONAL, source_of(*_NEEDED, *_OPTIONAL)))


_PASSWORD = re.compile(r"\bpassword\s*=|://[^/@]*:[^/@]*@")


def _address(spot: Spot) -> str:
    """Return a libpq connection string; a password is refused, since the file gets copied."""
    text = spot.scalar().strip()
    if _PASSWORD.search(text):
        raise spot.wrong(say("catalog.database.password"))
    if not text:
        raise spot.wrong(say("catalog.asked.something"))
    return text


database = FieldTable(
    Database,
    (Field("database", _address, into="address"), Field("verify_server", values.flag, LEFT_OUT)),
)


def _still(spot: Spot) -> bool:
    return not values.flag(spot)


def _station(usual: StationSettings) -> FieldTable[StationSettings]:
    """Return the reader of the tablet's settings; missing keys are as in `usual`."""
    return FieldTable(
        partial(replace, usual),
        (
            Field("screen", _screen_inches, LEFT_OUT, "screen_inches"),
            Field("language", values.OneOf({code: code for code in LANGUAGES}), LEFT_OUT),
            Field("temperature", values.OneOf(DEGREES), LEFT_OUT),
            Field("length", values.OneOf(LENGTHS), LEFT_OUT, "millimetres"),
            Field("voice", values.flag, LEFT_OUT),
            Field("motion", _still, LEFT_OUT, "still"),
        ),
    )
