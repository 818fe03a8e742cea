"""The shop with its server: a real PostgreSQL, a network that is cut, one order on all presses."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

from shop_server import Line, Postgres, holds_a_part, holds_all
from sim_life import Broken
from sim_shop import World, must
from sim_story import Action, Killed, Ordered, Shop, Slept, Torn, Work, fault_of
from sim_truth import DOUBTFUL

from kiosk.catalog.model import Database
from kiosk.log.store.errors import LogFault
from kiosk.log.store.store import Store
from kiosk.shop import Away, Sender, ShopFault, connect
from kiosk.shop.claims import Claims
from kiosk.shop.wishes import JobWish

KILLS = 0.15  # share of the works
NIGHT_SECONDS = 57_600.0


@dataclass(frozen=True)
class Sent:
    """The process beside a station sends and claims; the line is cut at a byte, 0 for never.

    `lost`: the server's answer does not reach the station.
    """

    station: int
    cut: int = 0
    up: bool = True
    lost: bool = False


@dataclass(frozen=True)
class ServerKilled:
    """Power fails at the server; it starts again."""


@dataclass(frozen=True)
class TabletLost:
    """A tablet breaks for good; a supervisor gives back what was not pressed there."""

    station: int


Happens = Action | Sent | ServerKilled | TabletLost


def week(shop: Shop, dice: Random, works: int, nights: int = 7) -> Iterator[Happens]:
    """Yield `works` works on each day of a week, and the events between them."""
    dead: set[int] = set()
    for night in range(nights):
        for _ in range(works):
            station, happens = dice.randrange(shop.stations), dice.random()
            fault = Killed("byte", dice.randint(1, 12_000)) if happens < KILLS else fault_of(dice)
            yield Work(station, dice.randrange(10**6), dice.randint(20, 200), fault)
            happens = dice.random()
            if happens < 0.5:
                yield Sent(station)
            elif happens < 0.7:
                yield Sent(station, dice.randint(1, 30_000), dice.random() < 0.5)
            elif happens < 0.75:
                yield Sent(station, lost=True)
            elif happens < 0.78:
                yield Torn(station, dice.randrange(10**6))
        if len(dead) < shop.stations // 8:
            dead.add(station)
            yield TabletLost(station)
        if night % 3 == 1:
            yield ServerKilled()
        for station in range(shop.stations):
            yield Work(station, dice.randrange(10**6), 0, Slept(NIGHT_SECONDS))


class Served(World):
    """A shop whose stations have a server, in its own database."""

    def __init__(self, shop: Shop, folder: Path, postgres: Postgres, name: str) -> None:
        super().__init__(shop, folder)
        self._postgres, self._name = postgres, name
        self._roles = tuple(f"{name}-{nth}" for nth in range(shop.stations))
        postgres.made(name, *self._roles)

    def happen(self, what: Happens) -> None:
        """Let one thing happen. Raises Broken."""
        if isinstance(what, ServerKilled):
            self.counted["ServerKilled"] += 1
            self._postgres.kill()
            self._postgres.start()
        elif getattr(what, "station", self.open[0]) not in self.open:
            return
        elif isinstance(what, Sent):
            self.counted["Cut" if what.cut else "Sent"] += 1
            self._send(what)
        elif isinstance(what, TabletLost):
            self._loses(what.station)
        else:
            self.do(what)

    def _send(self, what: Sent) -> None:
        """Do one round of the process beside a station, in this process."""
        number = what.station
        wish: dict[str, Any] = {}
        if self.lives[number] is not None:
            wish = self.ask(number, "wish") or {}
        if not self.logs[number].exists():
            return
        answer = self._round(number, JobWish.read(wish), what)
        if answer is not None and wish and not what.lost:
            self.ask(number, "follow", answer)

    def _round(self, number: int, wish: JobWish, what: Sent) -> dict[str, Any] | None:
        line, database = None, self._postgres.at(self._roles[number], self._name)
        if what.cut:
            line = Line(self._postgres, what.cut, what.up, lambda: None)
            loopback = self._postgres.at(self._roles[number], self._name, "127.0.0.1").address
            plain = f"{loopback} port={line.port} gssencmode=disable sslmode=disable"
            database = Database(plain)
        try:
            with Store.read_only(self.logs[number]) as store, connect(database) as server:
                sender = Sender(store, server)
                answer = Claims(server, store, sender.alone).hold(wish)
                sender.send()
                return answer.as_json()
        except Away as away:
            must(line is not None and line.was_cut, f"away without a cut: {away.message}")
        except ShopFault as fault:
            raise Broken(str(fault)) from fault
        except LogFault as fault:
            must(not self.truth.told(number).seq, f"a log that is not sent: {fault.message.id}")
        finally:
            if line is not None:
                line.close()
        return None

    def _loses(self, number: int) -> None:
        self.counted["TabletLost"] += 1
        self.end(number)
        self.open.remove(number)
        self.truth.leaves(number)
        for nth in self.place.shared:
            self.truth.say(nth, DOUBTFUL)

    def _give_back(self, other: int) -> None:
        """Give back batches of lost tablets, as a supervisor at a press that shares the order."""
        lost = [role for nth, role in enumerate(self._roles) if nth not in self.open]
        with self._postgres.sql(name=self._name) as sql:
            held = sql.execute(
                "SELECT b.job, b.batch, b.garments FROM shop.batches b JOIN shop.claims c "
                "USING (claim) WHERE c.role = ANY (%s) AND b.done IS NULL", [lost]
            ).fetchall()  # fmt: skip
            shares = sql.execute(
                "SELECT FROM shop.claims WHERE role = %s AND shared AND ended IS NULL",
                [self._roles[other]],
            ).fetchone()
        if not held or shares is None:
            return
        address = self._postgres.at(self._roles[other], self._name)
        with Store.read_only(self.logs[other]) as store, connect(address) as server:
            for job, batch, garments in held:
                stays = [line for line, *_ in garments if self._stays(job, int(line))]
                Claims(server, store).give_back(job, batch, stays)
                self.counted["GivenBack"] += 1

    def _stays(self, job: str, line: int) -> bool:
        """Judge a garment on a lost tablet's table: return whether it was pressed there."""
        nth = next(n for n, order in enumerate(self.place.orders) if order.job == job)
        return self.truth.judged_as_it_lies(nth, line - 1)

    def go_on(self, number: int, nth: int) -> None:
        """Work, exchanging messages with the server before and after."""
        self._send(Sent(number))
        self._give_back(number)
        super().go_on(number, nth)
        self._send(Sent(number))

    def finish(self) -> None:
        """Finish as without a server; then check that the server has all, once and in order."""
        super().finish()
        for number, log in enumerate(self.logs):
            if not log.exists():
                continue
            if number in self.open:
                self._round(number, JobWish(), Sent(number))
                holds_all(self._postgres, log, self._name)
            else:
                holds_a_part(self._postgres, log, self._name)


def shop_of_week(stations: int, shared: int, own: int) -> Shop:
    """Return a shop with one order for all presses and smaller ones for each."""
    plans = ("rack", "staged", "stack", "press")
    orders = [Ordered(plans[n % 4], 5, n % 5 == 0) for n in range(own // 5)]
    return Shop(stations, (Ordered("rack", shared, shared=True), *orders))


def play_served(
    postgres: Postgres, shop: Shop, told: Iterable[Happens], folder: Path, to_its_end: bool = True
) -> Counter[str]:
    """Play a story with a server; return the counted outcomes. Raises AssertionError."""
    folder.mkdir(exist_ok=True)
    world = Served(shop, folder, postgres, f"simulated{next(_NUMBERS)}")
    try:
        for what in told:
            world.happen(what)
        if to_its_end:
            world.finish()
        return world.counted
    finally:
        world.close()
        shutil.rmtree(folder)


_NUMBERS = count(1)
