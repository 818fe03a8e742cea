"""`kiosk dispose`: deletes the names of players from jobs that were closed 30 days ago."""

import sys
from argparse import Namespace

from kiosk.commands import DONE, FAULTS
from kiosk.commands.load import JOBS, shop_words
from kiosk.log import default_log
from kiosk.log.record import Recorder
from kiosk.log.store import LogFault, Store, now
from kiosk.station.desk.shift.files import Receipt, dispose


def run(asked: Namespace) -> int:
    """Delete what is due by the record of a station that does not run; a counted receipt a job."""
    words = shop_words(asked)
    log = asked.log or default_log()
    if not log.is_file():
        print(words("log.not_there", path=str(log)), file=sys.stderr)
        return FAULTS
    try:
        receipts = _disposed(Recorder(Store.open(log)), asked.gone)
    except LogFault as fault:
        print(words.say(fault.message), file=sys.stderr)
        return FAULTS
    for receipt in receipts:
        failed = receipt.problem is not None
        print(words.say(receipt.message), file=sys.stderr if failed else sys.stdout)
    print(words("command.dispose.elsewhere" if receipts else "command.nothing_due"))
    return FAULTS if any(receipt.problem for receipt in receipts) else DONE


def _disposed(recorder: Recorder, gone: list[str]) -> tuple[Receipt, ...]:
    try:
        at = now()
        return dispose(JOBS, recorder.state, lambda command: recorder.do(command, at), at, gone)
    finally:
        recorder.close()
