"""Runs beside a station: sends its record, holds its claims, and reports how they stand."""

import json
import os
import random
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from threading import Condition, Lock, Thread
from typing import Any, NamedTuple, TextIO

from kiosk.catalog.base import Message
from kiosk.catalog.model import Database
from kiosk.log.store import MOVED, LogFault, Store, inode
from kiosk.shop.claims import Claims
from kiosk.shop.joining import RecordsDiffer
from kiosk.shop.sending import FIRST_PAUSE, LONGEST_PAUSE, LOOK_SECONDS, Sender
from kiosk.shop.server import Away, Server, ShopFault, connect, patiently
from kiosk.shop.wishes import JobWish

AGAIN_SECONDS = 60.0  # until a fault that waiting cannot fix is retried: a person may have fixed it
CHECK_SECONDS = 2.0  # until claims are checked again although nothing is new here
POLITE = 10  # nice(2) increment: the station's own process comes first


class BatchReturn(NamedTuple):
    """A batch of a job to give back, except for the lines in `stays`."""

    job: str
    batch: int
    stays: tuple[str, ...]


class Request(NamedTuple):
    """The station's latest message: its numbered wish, and batches to give back once.

    Its first wish has the number 1; before that, nobody knows what it works on.
    """

    number: int = 0
    wish: JobWish = JobWish()
    give_back: tuple[BatchReturn, ...] = ()


@dataclass(slots=True)
class Inbox:
    """Receives the station's messages, one JSON object per line; `over` once they have ended."""

    latest: Request = field(default_factory=Request)
    news: bool = False
    over: bool = False
    _changed: Condition = field(default_factory=Condition)

    def listen(self, lines: Iterable[str]) -> None:
        """Receive every line until the station ends."""
        try:
            for line in lines:
                self._take(json.loads(line))
        finally:
            with self._changed:
                self.over = True
                self._changed.notify_all()

    def _take(self, message: dict[str, Any]) -> None:
        wish, give_back = JobWish.read(message["wish"]), message.get("give_back")
        with self._changed:
            returns = (
                ()
                if give_back is None
                else (BatchReturn(wish.job, int(give_back[0]), tuple(give_back[1])),)
            )
            self.latest = Request(message["number"], wish, (*self.latest.give_back, *returns))
            self.news = True
            self._changed.notify_all()

    def take(self) -> Request:
        """Return the latest message."""
        with self._changed:
            self.news = False
            return self.latest

    def drop(self, count: int) -> None:
        """Remove the first `count` batches to give back, as they are done or reported as failed."""
        with self._changed:
            self.latest = self.latest._replace(give_back=self.latest.give_back[count:])

    def wait(self, seconds: float) -> None:
        """Wait up to `seconds`; less if a message is unread or the messages have ended."""
        with self._changed:
            self._changed.wait_for(lambda: self.news or self.over, seconds)


class Attendant:
    """Serves one station: `output` gets a line whenever its status changes."""

    def __init__(
        self, log: Path, database: Database, output: TextIO, inbox: Inbox, version: str = ""
    ) -> None:
        self._log, self._database, self._version = log, database, version
        self._output, self._inbox = output, inbox
        self._last: dict[str, Any] = {}
        self._one_at_a_time = Lock()
        self._sent: int | None = None
        self._tried = 0  # number of the wish at which a connection was lost
        self._claimed: dict[str, Any] = {}  # status of the claims, as reported
        self._claims_after = 0.0  # after a refusal, claims are not retried until then

    def run(self) -> None:
        """Send and claim until the station ends; pauses grow while the server is away."""
        pause = FIRST_PAUSE
        while not self._inbox.over:
            connected = False
            try:
                with Store.read_only(self._log) as store, connect(self._database) as server:
                    pause, connected = FIRST_PAUSE, True
                    self._attend(store, server)
            except Away as away:
                request = self._inbox.take()  # later messages are handled by a new connection
                if connected and self._asks_again(request.number):
                    continue
                self._fails(request, "away", away.message, pause * random.uniform(0.5, 1.0))
                pause = min(2 * pause, LONGEST_PAUSE)
            except (ShopFault, LogFault) as fault:
                self._fails(self._inbox.take(), "wrong", fault.message, AGAIN_SECONDS)

    def _asks_again(self, number: int) -> bool:
        """Whether a wish met a connection lost unnoticed: it is then retried once on a new one.

        The server may have restarted since it was last queried.
        """
        retry = number not in (self._tried, self._last.get("number"))
        self._tried = number
        return retry

    def _fails(self, request: Request, state: str, why: Message, seconds: float) -> None:
        """Report why work stopped, then wait, or not if the station has sent a message."""
        self._inbox.drop(len(request.give_back))
        self.report_status(number=request.number, state=state, message=_as_json(why))
        self._inbox.wait(seconds)

    def _attend(self, store: Store, server: Server) -> None:
        """Send events and hold claims until the file is replaced or the station ends.

        The station's wishes come before events still to be sent.
        """
        sender, claims = Sender(store, server, self._version), Claims(server, store)
        try:
            with patiently(self._waits):
                claims.alone = sender.alone
            self._send_and_hold(sender, claims, store)
        except RecordsDiffer as parted:
            claims.alone = parted.alone
            if self._only_hold(claims, parted.message):
                sender.join(new_generation=True)

    def _send_and_hold(self, sender: Sender, claims: Claims, store: Store) -> None:
        file = inode(self._log)
        self._hold(claims)
        while inode(self._log) == file and not self._inbox.over:
            moved, until = next(store.rows(MOVED)), time.monotonic() + CHECK_SECONDS
            while self._sends_some(sender):
                if self._inbox.news:
                    self._hold(claims)
            self._sent = store.last
            self._hold(claims)
            while next(store.rows(MOVED)) == moved and inode(self._log) == file:
                if self._inbox.news or self._inbox.over or time.monotonic() > until:
                    break
                self._inbox.wait(LOOK_SECONDS)

    def _sends_some(self, sender: Sender) -> bool:
        with patiently(self._waits):
            return sender.send_some()

    def _waits(self, why: Message) -> None:
        """Report the server as away; if it answers after all, that is reported next."""
        self.report_status(number=self._inbox.latest.number, state="away", message=_as_json(why))

    def _only_hold(self, claims: Claims, why: Message) -> bool:
        """Hold claims only, as the shop has other events for this record; return whether to join.

        True when a supervisor at this station decided so. After a while it returns False, as the
        record may have been joined elsewhere.
        """
        ends = time.monotonic() + AGAIN_SECONDS
        while time.monotonic() < ends and not self._inbox.over:
            self._hold(claims, state="parted", message=_as_json(why))
            if self._inbox.latest.wish.joins:
                return True
            self._inbox.wait(CHECK_SECONDS)
        return False

    def _hold(self, claims: Claims, **parted: Any) -> None:
        """Claim what the station wishes, and report the status.

        A refused claim does not stop events from being sent. A station that has `parted` cannot
        begin a shared job, because nobody would learn what it presses.
        """
        request = self._inbox.take()
        if parted and request.wish.begins and request.wish.shared:
            self._inbox.drop(len(request.give_back))
            self._claimed = {}
        elif not request.number:
            self._claimed = {"state": "sent"}
        elif request.number != self._last.get("number") or time.monotonic() >= self._claims_after:
            with patiently(self._waits):
                self._claimed = self._claim(claims, request)
        status = {"last": self._sent, "at": time.time(), **self._claimed, **parted}
        self.report_status(number=request.number, **status)

    def _claim(self, claims: Claims, request: Request) -> dict[str, Any]:
        once = len(request.give_back)
        try:
            shares = (
                bool(request.give_back) and claims.hold(request.wish._replace(wants=False)).ours
            )
            for batch_return in request.give_back:
                if (
                    shares and batch_return.job == request.wish.job
                ):  # it may have turned to another since
                    claims.give_back(*batch_return)
                once -= 1
                self._inbox.drop(1)
            answer = claims.hold(request.wish)
            if request.wish.unbegun:
                claims.let_go(request.wish.unbegun)
        except Away:
            raise
        except ShopFault as fault:
            self._inbox.drop(once)
            self._claims_after = time.monotonic() + AGAIN_SECONDS
            return {"state": "wrong", "message": _as_json(fault.message)}
        self._claims_after = 0.0
        return {"state": "sent", **({"answer": answer.as_json()} if request.wish.job else {})}

    def report_status(self, **status: Any) -> None:
        """Report the status if it has changed."""
        status = {key: value for key, value in status.items() if value is not None}
        news = {key: value for key, value in status.items() if key != "at"}
        with self._one_at_a_time:
            if news != self._last:
                self._last = news
                print(json.dumps(status, ensure_ascii=False), file=self._output, flush=True)


def _as_json(why: Message) -> dict[str, Any]:
    return {"id": why.id, "values": dict(why.values)}


def attend(
    log: Path, database: Database, lines: Iterable[str], output: TextIO, version: str = ""
) -> None:
    """Send the record at `log` for the station that started this process, and end with it."""
    inbox = Inbox()

    def listen() -> None:
        inbox.listen(lines)
        os._exit(0)  # unfinished work is rolled back by the server, and sent by the next process

    os.nice(POLITE)
    Thread(target=listen, name="station", daemon=True).start()
    Attendant(log, database, output, inbox, version).run()
