"""The command line: `kiosk COMMAND ...`, also as `python -m kiosk`."""

import gc
import importlib
import io
import os
import sys
from collections.abc import Sequence
from contextlib import suppress

from kiosk.commands import FAULTS, INTERRUPTED, PIPE_CLOSED

IN = {
    "material": "entry", "fabric": "entry", "press": "entry",
    "demo": "run", "simulate": "run", "check": "load", "dispose": "log", "ship": "shop",
    "board": "shop",
}  # fmt: skip
"""Commands implemented in another command's module."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command in `arguments` (default: the command line); return the exit code.

    Raises SystemExit(2) on wrong usage. Imports only the module of that command.
    """
    _speak_utf8()
    try:
        try:
            return _do(arguments)
        finally:
            if sys.stdout is not None:  # a program may be started without one
                sys.stdout.flush()
    except BrokenPipeError:
        _drop_output()
        return PIPE_CLOSED
    except OSError as error:
        if error.filename is not None:  # a file's error, not the output's: not handled here
            raise
        _drop_output()
        with suppress(OSError):
            from kiosk.words import Words  # imported only if needed

            print(Words()("command.no_output", why=error.strerror or ""), file=sys.stderr)
        return FAULTS
    except KeyboardInterrupt:
        return INTERRUPTED


def _drop_output() -> None:
    """Discard any output still buffered, so that Python does not complain at exit."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _do(arguments: Sequence[str] | None) -> int:
    from kiosk.commands.arguments import parse  # so a Ctrl-C during this import is handled too

    parsed = parse(arguments)
    if parsed.command in ("run", "report"):  # a station collects garbage itself once it has
        gc.disable()  # settled in; a report leaves no reference cycles behind
    command = importlib.import_module(f"kiosk.commands.{IN.get(parsed.command, parsed.command)}")
    try:
        code: int = command.run(parsed)
    finally:
        gc.enable()
    return code


def _speak_utf8() -> None:
    """Write °, ñ and arrows as UTF-8 whatever the console's code page is.

    A file's name may have bytes that are no UTF-8: they are shown as ?, never written as they are.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
    # What is typed in other letters is asked again. Once read from, a stream cannot be changed.
    if isinstance(sys.stdin, io.TextIOWrapper) and sys.stdin.errors != "surrogateescape":
        sys.stdin.reconfigure(errors="surrogateescape")


if __name__ == "__main__":
    sys.exit(main())
