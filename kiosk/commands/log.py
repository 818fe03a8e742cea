"""`kiosk log`: print, verify or copy the record; `kiosk dispose`: delete old names."""

import json
import sys
from argparse import Namespace
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.catalog.base import COPY, EVENTS, surely
from kiosk.catalog.roster import sweep
from kiosk.commands import DONE, FAULTS, JOBS
from kiosk.commands.load import (
    Output,
    check_outputs,
    is_free,
    messages_to_stderr,
    shop_words,
    write_output,
)
from kiosk.log import default_log
from kiosk.log.record import Recorder
from kiosk.log.rescue import back_up
from kiosk.log.store import LogFault, NumberedEvent, Store, codec, now
from kiosk.log.verify import verify
from kiosk.words import Words

if TYPE_CHECKING:
    from kiosk.station.desk.shift.files import Receipt


def run(options: Namespace) -> int:
    """Print the events, or verify the whole file; or delete the names that are due."""
    if options.command == "dispose":
        return _dispose(options)
    if options.verify or options.expect:
        return _verify(options)
    if refused := _check_output(options):
        return refused
    if options.backup is not None:
        return with_record(
            options, lambda store, words: _back_up(options.backup, store, words), older=False
        )
    if options.export is not None:
        return with_record(options, lambda store, words: _export(options.export, store, words))
    return with_record(options, lambda store, _: _print(options, store))


def _check_output(options: Namespace) -> int:
    """Check the output path before the record is opened; return DONE or an exit code."""
    if options.backup is not None:
        return is_free(Output(options.backup, COPY), shop_words(options))
    if options.export is not None:
        return check_outputs((Output(options.export, EVENTS),), shop_words(options))
    return DONE


def _back_up(to: Path, store: Store, words: Words) -> int:
    """Copy the log as it is now; a station may keep writing to it meanwhile."""
    head = back_up(store, to)
    print(words("command.log.backed_up", path=str(to), count=head.seq, head=head.short))
    return DONE


def _export(to: Path, store: Store, words: Words) -> int:
    """Write every event as a line of JSON into a file, completely or not at all."""
    with store.reading():
        lines = (f"{_as_json(each)}\n".encode() for each in store.events())
        if failed := write_output(Output(to, EVENTS), lambda: lines, words):
            return failed
    print(words("command.log.exported", path=str(to), count=store.last))
    return DONE


def _verify(options: Namespace) -> int:
    """Print the verdict as one JSON object, and its faults in words on stderr."""
    words = shop_words(options)
    try:
        verdict = verify(options.log or default_log(), options.expect, messages_to_stderr(words))
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS
    print(json.dumps(verdict.as_json()))
    _print_faults([words.say(fault) for fault in verdict.faults])
    return DONE if verdict.ok else FAULTS


def _print_faults(faults: list[str]) -> None:
    for fault in faults:
        print(fault, file=sys.stderr)


def _print(options: Namespace, store: Store) -> int:
    """Print one line per event, oldest first; with --json one object per line."""
    line = _as_json if options.json else _as_text
    for recorded in _last_events(store, options.tail):
        print(line(recorded))
    return DONE


def _last_events(store: Store, count: int | None) -> Iterator[NumberedEvent]:
    return store.events(1 if count is None else max(1, store.last - count + 1))


def _as_json(recorded: NumberedEvent) -> str:
    row = codec.encode(recorded.event)
    head = {"seq": recorded.seq, "kind": row.kind, "version": row.version}
    moment = {"boot": row.boot, "clock": row.clock, "wall": row.wall}
    return json.dumps({**head, **moment, **json.loads(row.payload)}, ensure_ascii=False)


def _as_text(recorded: NumberedEvent) -> str:
    row = codec.encode(recorded.event)
    when = datetime.fromtimestamp(row.wall).astimezone().isoformat(" ", "seconds")
    fields = " ".join(f"{k}={_short(v)}" for k, v in json.loads(row.payload).items() if v != "")
    return f"{recorded.seq:>6}  {when}  {row.kind:<16} {fields}".rstrip()


def _short(value: Any) -> str:
    """Return a short form of a value; a list or mapping as its length."""
    if isinstance(value, dict | list):
        return f"({len(value)})"
    return "-" if value is None else f"{value:.3g}" if isinstance(value, float) else str(value)


def with_record(options: Namespace, use: Callable[[Store, Words], int], older: bool = True) -> int:
    """Return what `use` returns for the log asked for, or FAULTS if it cannot be read."""
    words = shop_words(options)
    try:
        tell = messages_to_stderr(words) if older else None
        with Store.read_only(options.log or default_log(), tell) as store:
            return use(store, words)
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS


def _dispose(options: Namespace) -> int:
    """Delete the names that are due by a stopped station's record; print a receipt per job."""
    words = shop_words(options)
    log = options.log or default_log()
    sweep(JOBS)
    if not surely(log.is_file):
        print(words("log.not_there", path=str(log)), file=sys.stderr)
        return FAULTS
    try:
        receipts = _delete_names(Recorder(Store.open(log)), options.gone)
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS
    for receipt in receipts:
        failed = receipt.problem is not None
        print(words.say(receipt.message), file=sys.stderr if failed else sys.stdout)
    missed = {*options.gone}.difference(receipt.job for receipt in receipts)
    for job in sorted(missed):
        print(words("command.dispose.not_due", job=job), file=sys.stderr)
    print(words("command.dispose.elsewhere" if receipts else "command.nothing_due"))
    return FAULTS if missed or any(receipt.problem for receipt in receipts) else DONE


def _delete_names(recorder: Recorder, gone_jobs: list[str]) -> "tuple[Receipt, ...]":
    from kiosk.station.desk.shift.files import dispose  # not needed by `kiosk log`

    try:
        at = now()
        return dispose(
            JOBS, recorder.state, lambda command: recorder.do(command, at), at, gone_jobs
        )
    finally:
        recorder.close()
