"""`kiosk shop` sets up the shop's server; `kiosk ship` sends it a station's record."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from socket import gethostname
from typing import TYPE_CHECKING

import kiosk
from kiosk.catalog.base import Message, why_of
from kiosk.catalog.model import Database
from kiosk.catalog.read import read_catalog
from kiosk.commands import DONE, FAULTS, USAGE
from kiosk.commands.load import has_error, print_faults, progress_to_stderr
from kiosk.log import default_log
from kiosk.log.facts import FactSource
from kiosk.log.store import LogFault
from kiosk.words import Words

with suppress(ImportError):  # psycopg is an extra; `_run` says so
    from kiosk.shop import (
        RecordsDiffer,
        ServerBoardSource,
        ShopFault,
        add,
        attend,
        connect,
        follow,
        init,
        orders_apart,
        record_statuses,
        records,
        ship,
    )

if TYPE_CHECKING:
    from kiosk.shop import RecordStatus, SplitOrder


def run(options: Namespace) -> int:
    """Run the command against the server named in shop.yaml."""
    catalog, faults = read_catalog(options.recipes)
    words = Words(catalog.station.language)
    if options.command == "board":
        return _board(options, words)
    if has_error(faults):
        print_faults(faults, words)
        return FAULTS
    act: Callable[[Namespace, Database, Words], int] = {
        "init": _init, "add": _add, "status": _status, "ship": _ship,
    }["ship" if options.command == "ship" else options.what]  # fmt: skip
    return _with_driver(lambda: act(options, catalog.database, words), words)


def with_records(options: Namespace, words: Words, use: Callable[[list[FactSource]], int]) -> int:
    """Return what `use` returns for all stations' records, or 1 or 2 after printing why not.

    The server is `options.shop`, a connection string; if that is "", the one in shop.yaml.
    """

    def read() -> int:
        with records(_database(options), progress_to_stderr(lambda: words)) as found:
            return use(found)

    return _with_driver(read, words)


def _database(options: Namespace) -> Database:
    in_file = read_catalog(options.recipes)[0].database
    return Database(options.shop, in_file.verify_server) if options.shop else in_file


def _board(options: Namespace, words: Words) -> int:
    """Serve the board of the shop's server, or of one record, until it is stopped."""
    try:
        from kiosk.office import BoardSource, Door, OneLog, is_here, listening, server, token_at
    except ImportError:
        print(words("command.board.no_server"), file=sys.stderr)
        return USAGE
    file = options.token_file or default_log().with_name("board.token")
    try:
        door = Door("" if is_here(options.host) else token_at(file))
    except (OSError, ValueError) as error:
        line = words("command.board.no_token", path=str(file), why=why_of(error))
        print(line, file=sys.stderr)
        return FAULTS

    def show(source: BoardSource) -> int:
        with source.records():  # report an unreadable record before serving anything
            pass
        with listening(options.host, options.port) as at:
            _print_address(options.host, at.getsockname()[1], door.token, words)
            server(source, door, words.language).run([at])
        return DONE

    try:
        if options.shop is None:
            return _or_fault(lambda: show(OneLog(options.log or default_log())), words)
        return _with_driver(lambda: show(ServerBoardSource(_database(options))), words)
    except OSError as error:
        why = error.strerror or str(error)
        print(
            words("command.board.taken", host=f"{options.host}:{options.port}", why=why),
            file=sys.stderr,
        )
        return FAULTS


def _print_address(host: str, port: int, token: str, words: Words) -> None:
    """Print the address to open; on the network with the token, which a browser sends once."""
    name = gethostname() if host in ("", "0.0.0.0", "::") else f"[{host}]" if ":" in host else host
    query = f"?token={token}" if token else ""
    id_ = "command.board.token" if token else "command.board.here"
    print(words(id_, url=f"http://{name}:{port}/{query}"), flush=True)


def _with_driver(act: Callable[[], int], words: Words) -> int:
    if "ShopFault" not in globals():
        print(words("command.shop.no_driver"), file=sys.stderr)
        return USAGE
    try:
        return _or_fault(act, words)
    except ShopFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        if isinstance(fault, RecordsDiffer):
            print(words("command.ship.joins"), file=sys.stderr)
        return FAULTS


def _or_fault(act: Callable[[], int], words: Words) -> int:
    try:
        return act()
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def _init(_: Namespace, database: Database, words: Words) -> int:
    with connect(database) as server:
        done = init(server)
    for name in done:
        print(name)
    print(words("command.shop.ready"))
    return DONE


def _add(options: Namespace, database: Database, words: Words) -> int:
    if not options.name:
        print(words("command.shop.name_it"), file=sys.stderr)
        return USAGE
    with connect(database) as server:
        add(server, options.name, options.reader)
    print(words("command.shop.added", name=options.name))
    return DONE


def _status(options: Namespace, database: Database, words: Words) -> int:
    with connect(database) as server:
        records = record_statuses(server)
        for each in records:
            print(_as_json(each) if options.json else _line(each, words))
        if not records and not options.json:
            print(words("command.shop.no_station"))
        for order in orders_apart(server):
            if options.json:
                print(_plans_as_json(order))
            for message in () if options.json else order.messages():
                print(f"{order.job}: {words.say(message)}")
    return DONE


def _plans_as_json(order: "SplitOrder") -> str:
    content: dict[str, object] = {"job": order.job, "plans": order.names}
    if order.broken:
        content["broken"] = order.broken
    if order.copies:
        content["copies"] = order.copies
    return json.dumps(content, ensure_ascii=False)


def _as_json(each: "RecordStatus") -> str:
    sent = None if each.sent is None else each.sent.isoformat()
    return json.dumps({**each._asdict(), "sent": sent}, ensure_ascii=False)


def _line(each: "RecordStatus", words: Words) -> str:
    if each.station is None or each.sent is None:
        return words("command.shop.never", name=each.name)
    return words(
        "command.shop.simulated" if each.simulated else "command.shop.station",
        name=each.name,
        generation=each.generation,
        when=each.sent.astimezone().isoformat(" ", "minutes"),
        count=each.events or 0,
        behind=each.behind,
        program=each.program,
    )


def _ship(options: Namespace, database: Database, words: Words) -> int:
    log: Path = options.log_file or default_log()

    def tell(message: Message) -> None:
        print(words.say(message), flush=True)

    if options.beside:
        attend(log, database, sys.stdin, sys.stdout, kiosk.__version__)
        return DONE
    if options.follow:
        follow(log, database, tell, options.new_generation, kiosk.__version__)
    sent = ship(log, database, options.new_generation, kiosk.__version__)
    print(words("command.ship.sent", count=sent.events, last=sent.last))
    return DONE
