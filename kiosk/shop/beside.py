"""Beside a station: sends its record as it comes, and says line by line how that stands."""

import json
import os
import random
import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from threading import Condition, Thread
from typing import Any, TextIO

from kiosk.catalog.base import Message
from kiosk.catalog.model import Database
from kiosk.log.store import LogFault, Store
from kiosk.shop.sending import (
    FIRST_PAUSE,
    LONGEST_PAUSE,
    LOOK_SECONDS,
    MOVED,
    Refused,
    Sender,
    inode,
)
from kiosk.shop.server import Away, Server, ShopFault, connect

AGAIN_SECONDS = 60.0  # until what no waiting mends is tried again: a person may have mended it
POLITE = 10  # of nice(2): the station's own process comes first


@dataclass(slots=True)
class Heard:
    """What the station says, a JSON object a line; `over` once it says nothing more."""

    wish: dict[str, Any] = field(default_factory=dict)
    over: bool = False
    news: bool = False
    _changed: Condition = field(default_factory=Condition)

    def listen(self, lines: Iterable[str]) -> None:
        """Take every line as it comes, until the station ends."""
        try:
            for line in lines:
                with self._changed:
                    self.wish, self.news = json.loads(line), True
                    self._changed.notify_all()
        finally:
            with self._changed:
                self.over = True
                self._changed.notify_all()

    def wait(self, seconds: float) -> None:
        """Return after so many seconds, at once where something is new."""
        with self._changed:
            self._changed.wait_for(lambda: self.news or self.over, seconds)


class Attendant:
    """Attends on one station: `said` gets a line whenever something of its standing changed."""

    def __init__(
        self, log: Path, database: Database, said: TextIO, heard: Heard, version: str = ""
    ) -> None:
        self._log, self._database, self._version = log, database, version
        self._said, self._heard = said, heard
        self._last: dict[str, Any] = {}

    def run(self) -> None:
        """Send until the station ends; pauses grow while the server is away."""
        pause = FIRST_PAUSE
        while not self._heard.over:
            try:
                with Store.read_only(self._log) as store, connect(self._database) as server:
                    pause = FIRST_PAUSE
                    self._attend(store, server)
            except Away as away:
                self.say(state="away", message=away.message)
                self._heard.wait(pause * random.uniform(0.5, 1.0))
                pause = min(2 * pause, LONGEST_PAUSE)
            except (ShopFault, LogFault) as fault:
                state = "parted" if isinstance(fault, Refused) else "wrong"
                self.say(state=state, message=fault.message)
                self._heard.wait(AGAIN_SECONDS)

    def _attend(self, store: Store, server: Server) -> None:
        """Send what comes, until the file is another one or the station ends."""
        sender, file = Sender(store, server, self._version), inode(self._log)
        while inode(self._log) == file and not self._heard.over:
            now = next(store.rows(MOVED))
            sent = sender.send()
            self.say(state="sent", last=sent.last, at=time.time())
            while next(store.rows(MOVED)) == now and inode(self._log) == file:
                self._heard.wait(LOOK_SECONDS)
                if self._heard.over:
                    return

    def say(self, **told: Any) -> None:
        """Say it, where it is not what was said last."""
        message = told.get("message")
        if isinstance(message, Message):
            told["message"] = {"id": message.id, "values": dict(message.values)}
        news = {key: value for key, value in told.items() if key != "at"}
        if news != self._last:
            self._last = news
            print(json.dumps(told, ensure_ascii=False), file=self._said, flush=True)


def attend(
    log: Path, database: Database, lines: Iterable[str], said: TextIO, version: str = ""
) -> None:
    """Send the record at `log` for the station that started this process, and end with it."""
    heard = Heard()

    def listen() -> None:
        heard.listen(lines)
        os._exit(0)  # whatever is under way is undone by the server, and sent by the next one

    os.nice(POLITE)
    Thread(target=listen, name="station", daemon=True).start()
    Attendant(log, database, said, heard, version).run()
