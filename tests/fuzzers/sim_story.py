"""A story of a shop as values: its stations and orders, what is done there, what goes wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random

MOST_STATIONS = 3
GARMENTS = 500  # in a story
PLANS = ("rack", "press", "hand", "stack", "staged", "two runs", "names", "names at once")


@dataclass(frozen=True)
class Ordered:
    """A number of garments by a plan; `strict` if the shop asks for checks of press and lot.

    A `shared` one is pressed by all stations, batch by batch, which requires a server.
    """

    plan: str = "rack"
    garments: int = 3
    strict: bool = False
    shared: bool = False


@dataclass(frozen=True)
class Shop:
    """Stations (from the second with a pedal, from the third also with a switch) and orders."""

    stations: int = 1
    orders: tuple[Ordered, ...] = (Ordered(),)
    slips: float = 0.0  # 0: as often as people slip


@dataclass(frozen=True)
class Killed:
    """The process dies at the `nth` byte written, step of SQLite or file touched."""

    by: str = "byte"  # byte, step, file
    nth: int = 1
    starting: bool = False  # counted from its start, else from the end of the work


@dataclass(frozen=True)
class FullDisk:
    """Only `room` more bytes can be written, for `acts` acts."""

    room: int = 0
    acts: int = 10


@dataclass(frozen=True)
class Wall:
    """Somebody changes the wall clock."""

    seconds: float


@dataclass(frozen=True)
class Slept:
    """The machine sleeps; all clocks go on."""

    seconds: float


@dataclass(frozen=True)
class Foot:
    """The pedal and the switch bounce and repeat, or the pedal is stuck once."""

    stuck: bool = False


Fault = Killed | FullDisk | Wall | Slept | Foot


@dataclass(frozen=True)
class Work:
    """A number of acts at a station, started if it is down; `fault` happens after them."""

    station: int
    seed: int
    acts: int
    fault: Fault | None = None


@dataclass(frozen=True)
class Stopped:
    """The program ends normally."""

    station: int


@dataclass(frozen=True)
class Torn:
    """Power fails: after its last commit the tail of the log is cut off, or noise."""

    station: int
    seed: int


@dataclass(frozen=True)
class Copied:
    """Runs `kiosk log backup`, also beside a station at work."""

    station: int


@dataclass(frozen=True)
class SetBack:
    """The tablet breaks; the copy replaces the log, with only `share` of its bytes if torn."""

    station: int
    share: float = 1.0


@dataclass(frozen=True)
class Vanished:
    """The folder of an order becomes unreachable."""

    order: int


@dataclass(frozen=True)
class Returned:
    """The folder of an order can be reached again."""

    order: int


@dataclass(frozen=True)
class PutBack:
    """People at a station put the job back, open; any station may take it."""

    station: int


Action = Work | Stopped | Torn | Copied | SetBack | Vanished | Returned | PutBack


def shop_of(dice: Random, garments: int = GARMENTS) -> Shop:
    """Return a shop with about that many garments to press."""
    orders: list[Ordered] = []
    left = garments
    while left > 0:
        count = min(left, dice.randint(5, 40))
        orders.append(Ordered(dice.choice(PLANS), count, dice.random() < 0.2))
        left -= count
    slips = dice.choice((0.0, 0.0, dice.uniform(0.0, 0.08)))
    return Shop(dice.randint(1, MOST_STATIONS), tuple(orders), slips)


def actions(shop: Shop, dice: Random) -> Iterator[Action]:
    """Yield endless events in the shop, one after another."""
    while True:
        station, order = dice.randrange(shop.stations), dice.randrange(len(shop.orders))
        seed = dice.randrange(10**6)
        happens = dice.random()
        if happens < 0.85:
            yield Work(station, seed, dice.randint(1, 200), fault_of(dice))
        elif happens < 0.88:
            yield Stopped(station)
        elif happens < 0.9:
            yield Torn(station, seed)
        elif happens < 0.935:
            yield Copied(station)
        elif happens < 0.945:
            yield SetBack(station, dice.choice((1.0, 1.0, dice.random())))
        elif happens < 0.955:
            yield PutBack(station)
        elif happens < 0.975:
            yield Vanished(order)
        else:
            yield Returned(order)


def fault_of(dice: Random) -> Fault | None:
    """Return what goes wrong at the end of a work; mostly None."""
    happens = dice.random()
    if happens < 0.05:
        by = dice.choice(("byte", "byte", "step", "step", "file"))
        most = {"byte": 12_000, "step": 2_500, "file": 8}[by]
        return Killed(by, dice.randint(1, most), dice.random() < 0.2)
    if happens < 0.08:
        return FullDisk(dice.choice((0, dice.randint(1, 9_000))), dice.randint(1, 40))
    if happens < 0.11:
        return Wall(dice.choice((-86_400.0, -3_600.0, -7.0, 61.0, 3_600.0, 86_400.0)))
    if happens < 0.13:
        return Slept(dice.choice((3.0, 40.0, 4_000.0, 200_000.0)))
    if happens < 0.19:
        return Foot(dice.random() < 0.3)
    return None


def as_test(shop: Shop, told: Sequence[object], seed: str, play: str = "play") -> str:
    """Return a test that plays a story, to be placed beside those of the same `play`."""
    lines = "".join(f"        {action!r},\n" for action in told)
    return (
        f"def test_story(tmp_path: Path) -> None:\n"
        f'    """Of seed {seed}, shrunk."""\n'
        f"    told = (\n{lines}    )\n"
        f"    {play}({shop!r}, told, tmp_path)\n"
    )
