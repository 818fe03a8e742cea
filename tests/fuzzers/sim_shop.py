"""A whole shop in simulated time: plays a story and reports what fails."""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from random import Random
from typing import Any

import log_samples as samples
from run_samples import COLD, HOT, named, one_piece, plan_of, stack, staged, team
from sim_faults import tear
from sim_life import DIED, HOLED, REFUSED, Broken, Life
from sim_station import Place
from sim_story import (
    Action,
    Copied,
    Ordered,
    PutBack,
    Returned,
    SetBack,
    Shop,
    Stopped,
    Torn,
    Vanished,
    Work,
)  # fmt: skip
from sim_truth import DONE, DOUBTFUL, Truth

from kiosk.catalog.model import Approver, Demand
from kiosk.log.record.recorder import Recorder
from kiosk.log.rescue.copies import back_up
from kiosk.log.store.codec import decode
from kiosk.log.store.errors import LogFault
from kiosk.log.store.migrations import LogHead
from kiosk.log.store.store import Store
from kiosk.log.verify import verify
from kiosk.plan.model import PeelPlace as Where
from kiosk.plan.model import Plan
from kiosk.plan.time.through import own_passes
from kiosk.run.apply.fold import apply
from kiosk.run.state.events_station import LogSalvaged
from kiosk.run.state.rules import NO_RULES, Rules
from kiosk.run.state.state import State
from kiosk.train.made_up_operator.habits import Habits
from kiosk.train.made_up_operator.operator import SimulatedOrder, simulate

SETTINGS = samples.plan().settings  # the press is set to these before the first garment
PLANS: dict[str, Plan] = {
    "rack": plan_of(one_piece(), settings=SETTINGS),
    "press": plan_of(one_piece(Where.PRESS, HOT), settings=SETTINGS),
    "hand": plan_of(one_piece(Where.HAND, COLD), settings=SETTINGS),
    "stack": plan_of(stack(), settings=SETTINGS),
    "staged": plan_of(staged(), settings=SETTINGS),
    "two runs": plan_of(one_piece(), one_piece(degrees=270, panel="front"), settings=SETTINGS),
    "names": plan_of(one_piece(), named(Where.RACK, COLD), settings=SETTINGS),
    "names at once": plan_of(
        one_piece(Where.PRESS, HOT), named(), runs=((0, 1),), settings=SETTINGS
    ),
}
STRICT = Rules(
    Demand.ASKED, 3.0, 6.0, verify_seconds=1800.0, first_article=Demand.REQUIRED,
    approver=Approver.ANOTHER, scrap_limit=1,
)  # fmt: skip
NAMELESS = 0.3  # share of the garments: more than in any roster
ROUNDS, ACTS = 400, 120  # limits: a shop that has not finished its orders by then never will


def order_of(nth: int, ordered: Ordered) -> SimulatedOrder:
    """Return the order as its stations know it."""
    plan, dice = PLANS[ordered.plan], Random(f"{nth}/{ordered}")
    numbers = [str(dice.randrange(100)) for _ in range(ordered.garments)]
    key = f"{ordered.plan.replace(' ', '-')}-{nth}"
    rules = STRICT if ordered.strict else NO_RULES
    every = team(*numbers, size=dice.choice(("YM", "AS", "AL")))
    garments = tuple(replace(g, lacks=("name",) if dice.random() < NAMELESS else ()) for g in every)
    return SimulatedOrder(key, replace(plan, job=key), "hash", garments, rules)


def in_memory() -> Path | None:
    """Return a folder in memory, or None if there is none."""
    memory = Path("/dev/shm")
    return memory if memory.is_dir() else None


@lru_cache(maxsize=1)
def warm_up() -> None:
    """Build once what each process would build after its first events."""
    with tempfile.TemporaryDirectory(prefix="kiosk-fuzz-") as folder:
        for nth in range(2):
            recorder = Recorder(Store.open(Path(folder) / "log.sqlite3", simulated=True))
            simulate(recorder, order_of(nth, Ordered("rack", 2)), 1)
            recorder.close()
        verify(recorder.store.path)


class World:
    """The shop, with its folders on a real disk; `counted` holds the outcomes."""

    def __init__(self, shop: Shop, folder: Path) -> None:
        warm_up()
        orders = tuple(order_of(nth, each) for nth, each in enumerate(shop.orders))
        self._folder, self._jobs = folder, folder / "jobs"
        for order in orders:
            (self._jobs / order.job).mkdir(parents=True)
        self.truth = Truth(shop.stations, [each.garments for each in shop.orders])
        habits = Habits(*[shop.slips] * 15) if shop.slips else Habits()
        shared = frozenset(nth for nth, each in enumerate(shop.orders) if each.shared)
        self.place = Place(self._jobs, orders, self.truth, shop.stations, habits, shared)
        self.logs = tuple(folder / f"{nth}.sqlite3" for nth in range(shop.stations))
        self.lives: list[Life | None] = [None] * shop.stations
        self._known: list[tuple[LogHead, State] | None] = [None] * shop.stations
        self._written: list[set[int]] = [{0} for _ in self.logs]  # hashes of rows
        self.open = list(range(shop.stations))  # those that work
        self.counted: Counter[str] = Counter()

    def close(self) -> None:
        for life in self.lives:
            if life is not None:
                life.kill()
        self.truth.close()

    @property
    def is_made(self) -> bool:
        """Whether a station reported each order done."""
        return all(self.truth.is_so(nth, DONE) for nth in range(len(self.place.orders)))

    def do(self, action: Action) -> None:
        """Let one thing happen. Raises Broken."""
        fault = action.fault if isinstance(action, Work) else action
        self.counted[type(fault).__name__ if fault else "Worked"] += 1
        if isinstance(action, Vanished | Returned):
            self._move(self.place.orders[action.order].job, isinstance(action, Vanished))
        elif isinstance(action, Work):
            self.ask(action.station, "work", action)
        elif isinstance(action, PutBack):
            if self.lives[action.station] is not None:
                self.ask(action.station, "put_back")
        elif isinstance(action, Stopped):
            self._stop(action.station)
        elif isinstance(action, Torn):
            self.end(action.station)
            tear(self.logs[action.station], Random(action.seed))
        elif isinstance(action, Copied):
            self._copy(action.station)
        else:
            self._set_back(action)

    # -- stations ------------------------------------------------------------

    def ask(self, number: int, what: str, *arguments: object) -> Any:
        """Send a request to a station, starting it if it is down; return its answer."""
        life = self.lives[number]
        if life is None:
            log = self.logs[number]
            life = self.lives[number] = Life(self.place, number, log, self._known[number])
        answer = life.ask(what, *arguments)
        self.counted[answer] += 1
        if answer in (DIED, REFUSED):
            self.lives[number] = None
            if life.told == HOLED:
                self.counted["Holed"] += 1
                self._throw_away(number)
            self._examine(number, answer == DIED)
        return life.told

    def end(self, number: int) -> None:
        """Kill the station if it is up."""
        life = self.lives[number]
        if life is not None:
            life.kill()
            self.counted[DIED] += 1
            self.lives[number] = None
            self._examine(number, True)

    def _stop(self, number: int) -> None:
        if self.lives[number] is not None:
            self.ask(number, "stop")
            life, self.lives[number] = self.lives[number], None
            if life is not None:
                life.kill()
                self._examine(number, True)

    def _move(self, job: str, away: bool) -> None:
        at, gone = self._jobs / job, self._jobs / f".{job}"
        with suppress(FileNotFoundError):
            (at if away else gone).rename(gone if away else at)

    # -- logs ----------------------------------------------------------------

    def _copy(self, number: int) -> None:
        copy = self._folder / f"{number}.copy"
        copy.unlink(missing_ok=True)
        with suppress(LogFault), Store.read_only(self.logs[number]) as store:
            back_up(store, copy)

    def _set_back(self, action: SetBack) -> None:
        log, copy = self.logs[action.station], self._folder / f"{action.station}.copy"
        self.end(action.station)
        if not copy.exists():
            return
        self._throw_away(action.station)
        for nth in range(len(self.place.orders)):
            self.truth.say(nth, DOUBTFUL)
        content = copy.read_bytes()
        log.write_bytes(content[: max(1, int(len(content) * action.share))])
        if action.share == 1.0:
            self._examine(action.station, False)

    def _throw_away(self, number: int) -> None:
        for file in self._folder.glob(f"{self.logs[number].name}*"):
            if file.is_file():
                file.unlink()
        self._known[number] = None
        self.truth.tell(number, LogHead(0, b""))

    def _examine(self, number: int, whole: bool) -> None:
        """Check that reported events are on disk, once, in order and unchanged, and no others."""
        log, told = self.logs[number], self.truth.told(number)
        try:
            with Store.read_only(log) as store:
                if whole and told.seq:
                    must(store.head_at(told.seq) == told, f"event {told.seq} was told and is lost")
                self._fold(number, store)
                self.truth.tell(number, store.head)
        except LogFault as fault:
            must(not (whole and told.seq), f"{told.seq} events, and then {fault.message.id}")
            if not whole:
                self._throw_away(number)  # the copy is not a log: people begin a new one

    def _fold(self, number: int, store: Store) -> None:
        """Continue the log's known state, or rebuild it if the log is a different one."""
        known = self._known[number]
        if known is None or store.head_at(known[0].seq) != known[0]:
            known = LogHead(0, store.head_at(0).digest), State()  # type: ignore[union-attr]  # its root
        (head, state), fresh = known, [0]
        for each in store.stored(head.seq + 1):
            must(each.seq == head.seq + 1 and each.follows(head.digest), f"{each.seq} is doubled")
            head, event = LogHead(each.seq, each.digest), decode(each.row)
            state = apply(state, event)
            if isinstance(event, LogSalvaged):
                must(self._written[number].issuperset(fresh), "salvaged what was never written")
                self.counted["Salvaged"] += 1
            else:  # the mending's own event is not one of them
                fresh.append(hash(each.row))
        must(head == store.head, "the log ends elsewhere")
        self._written[number].update(fresh)
        self._known[number] = head, state

    def go_on(self, number: int, nth: int) -> None:
        """Work like people who want to go home."""
        self.ask(number, "finish", ACTS, nth)

    # -- the end -------------------------------------------------------------

    def finish(self) -> None:
        """Fix everything that was wrong, and let people work until the orders are finished."""
        for order in self.place.orders:
            self._move(order.job, False)
        for nth in range(ROUNDS):
            if self.is_made:
                break
            for number in self.open:
                self.go_on(number, nth)
        must(self.is_made, "the orders are never made")
        for number in self.open:
            if self.lives[number] is None:
                self.go_on(number, ROUNDS)  # a cut copy is mended by the station that opens it
            self._stop(number)
        for nth, order in enumerate(self.place.orders):
            for line, garment in enumerate(order.garments):
                made = self.truth.is_made(nth, line, own_passes(order.plan, garment.lacks))
                must(made, f"{order.job}: garment {line + 1} was not made")
        for log in filter(Path.exists, self.logs):
            verdict = verify(log)
            must(verdict.ok and not verdict.pressed_twice, f"{log.name}: {verdict}")
            self.counted["events"] += verdict.events


def must(holds: bool, else_said: str) -> None:
    if not holds:
        raise Broken(else_said)


def play(shop: Shop, told: Iterable[Action], folder: Path, to_its_end: bool = True) -> Counter[str]:
    """Play a story, and the remaining work; return the counted outcomes. Raises Broken."""
    folder.mkdir(exist_ok=True)
    world = World(shop, folder)
    try:
        for action in told:
            world.do(action)
        if to_its_end:
            world.finish()
        return world.counted
    finally:
        world.close()
        shutil.rmtree(folder)
