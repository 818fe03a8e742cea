"""What can be typed after `kiosk`, in a shop owner's words."""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.catalog.base import Notes, Unsound, read_text
from kiosk.station.demo.play import BY_NAME
from kiosk.words import Words

if TYPE_CHECKING:
    from kiosk.log.store import Head


def parser(say: Words) -> argparse.ArgumentParser:
    """Return the parser of the whole command line; `command` names what was asked for."""
    top = argparse.ArgumentParser(
        prog="kiosk",
        add_help=False,
        description=say("help.kiosk"),
        epilog=say("help.exit_codes"),
    )
    commands = top.add_subparsers(
        dest="command", metavar="COMMAND", required=True, title=say("help.commands")
    )
    _frame(top, say)
    _run(commands, say)
    _check(commands, say)
    _plan(commands, say)
    _proof(commands, say)
    _simulate(commands, say)
    _log(commands, say)
    _dispose(commands, say)
    _report(commands, say)
    _demo(commands, say)
    return top


Commands = argparse._SubParsersAction  # argparse gives it no public name


def _add(commands: Commands, name: str, what: str, say: Words) -> argparse.ArgumentParser:  # type: ignore[type-arg] # see Commands
    made: argparse.ArgumentParser = commands.add_parser(
        name, help=what, description=what, add_help=False
    )
    _frame(made, say)
    made.add_argument(
        "--recipes",
        type=Path,
        default=Path("recipes"),
        metavar="DIR",
        help=say("help.recipes"),
    )
    return made


def _frame(made: argparse.ArgumentParser, say: Words) -> None:
    """Put what argparse says itself into the shop's language, but for its errors."""

    class Formatter(argparse.HelpFormatter):
        """Begins the usage in that language."""

        def add_usage(
            self,
            usage: str | None,
            actions: Iterable[argparse.Action],
            groups: Iterable[argparse._MutuallyExclusiveGroup],
            prefix: str | None = None,
        ) -> None:
            super().add_usage(usage, actions, groups, prefix or f"{say('help.usage')} ")

    made.formatter_class = Formatter
    made._optionals.title = say("help.options")  # argparse has no public way to them
    made._positionals.title = say("help.arguments")
    made.add_argument("-h", "--help", action="help", help=say("help.help"))


def _log_file(made: argparse.ArgumentParser, say: Words) -> None:
    made.add_argument(
        "--log",
        type=Path,
        metavar="FILE",
        help=say("help.log_file"),
    )


def _run(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "run", say("help.run"), say)
    made.add_argument("job", nargs="?", metavar="JOB", help=say("help.job"))
    _log_file(made, say)


def _check(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "check", say("help.check"), say)
    made.add_argument(
        "paths",
        nargs="*",
        type=Path,
        metavar="PATH",
        help=say("help.check.paths"),
    )


def _plan(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "plan", say("help.plan"), say)
    made.add_argument("job", metavar="JOB", help=say("help.job"))
    made.add_argument("--json", action="store_true", help=say("help.plan.json"))
    made.add_argument("--names", action="store_true", help=say("help.plan.names"))
    for name in ("html", "png"):
        made.add_argument(
            f"--{name}",
            type=Path,
            metavar="FILE",
            help=say(f"help.plan.{name}"),
        )
    made.add_argument(
        "--picks",
        type=Path,
        metavar="FILE",
        help=say("help.plan.picks"),
    )
    _log_file(made, say)


def _proof(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "proof", say("help.proof"), say)
    made.add_argument("job", metavar="JOB", help=say("help.job"))
    made.add_argument("--html", type=Path, metavar="FILE", help=say("help.proof.html"))


def _simulate(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "simulate", say("help.simulate"), say)
    made.add_argument("job", metavar="JOB", help=say("help.job"))
    made.add_argument("--garments", type=_count, metavar="N", help=say("help.simulate.garments"))
    made.add_argument("--seed", type=int, default=1, metavar="S", help=say("help.simulate.seed"))
    made.add_argument("--acks", action="store_true", help=say("help.simulate.acks"))
    made.add_argument(
        "--log",
        type=Path,
        metavar="FILE",
        help=say("help.simulate.log"),
    )


def _log(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "log", say("help.log"), say)
    made.add_argument("--tail", type=_count, metavar="N", help=say("help.log.tail"))
    made.add_argument("--verify", action="store_true", help=say("help.log.verify"))
    made.add_argument(
        "--expect",
        type=_head,
        action="append",
        default=[],
        metavar="N:CODE",
        help=say("help.log.expect"),
    )
    made.add_argument("--json", action="store_true", help=say("help.log.json"))
    made.add_argument("--backup", type=Path, metavar="NEW", help=say("help.log.backup"))
    made.add_argument("--export", type=Path, metavar="JSONL", help=say("help.log.export"))
    _log_file(made, say)


def _dispose(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "dispose", say("help.dispose"), say)
    made.add_argument(
        "--gone", action="append", default=[], metavar="JOB", help=say("help.dispose.gone")
    )
    _log_file(made, say)


def _report(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "report", say("help.report"), say)
    made.add_argument(
        "--shift",
        default="last",
        metavar="last|ID|day|week|all",
        help=say("help.report.shift"),
    )
    made.add_argument(
        "--busy-time",
        type=_seconds,
        metavar="TIME",
        help=say("help.report.busy_time"),
    )
    made.add_argument("--html", type=Path, metavar="FILE", help=say("help.report.html"))
    made.add_argument("--csv", type=Path, metavar="FILE", help=say("help.report.csv"))
    made.add_argument("--tables", type=Path, metavar="FILE", help=say("help.report.tables"))
    made.add_argument("--json", action="store_true", help=say("help.report.json"))
    made.add_argument(
        "--log",
        type=Path,
        action="append",
        metavar="FILE",
        help=say("help.report.log"),
    )


def _demo(commands: Commands, say: Words) -> None:  # type: ignore[type-arg] # see Commands
    made = _add(commands, "demo", say("help.demo"), say)
    made.add_argument("--shots", type=Path, metavar="DIR", help=say("help.demo.shots"))
    made.add_argument("--size", choices=list(BY_NAME), help=say("help.demo.size"))


def parse(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Return what was asked for. Raises SystemExit(2) with the usage on stderr."""
    typed = sys.argv[1:] if arguments is None else arguments
    return parser(Words(_language(typed))).parse_args(arguments)


def _language(typed: Sequence[str]) -> str:
    """The shop's language, at a glance: the command reads its files rightly. Without, LANG's."""
    at = next((i for i, word in enumerate(typed) if word.startswith("--recipes")), None)
    folder = "recipes"
    if at is not None and "=" in typed[at]:
        folder = typed[at].partition("=")[2]
    elif at is not None:
        folder = next(iter(typed[at + 1 : at + 2]), folder)
    with suppress(Unsound):
        shop = read_text(Path(folder) / "shop.yaml", Notes(""))
        named = re.search(r"^[^#\n]*\blanguage: *(\w+)", shop, re.M)
        return "en" if named is None else named[1]
    locale = next((os.environ[k] for k in ("LC_ALL", "LC_MESSAGES", "LANG") if k in os.environ), "")
    return locale[:2]


def _count(text: str) -> int:
    """Read a whole number from 0 up. Raises ValueError, which argparse puts into words."""
    number = int(text)
    if number < 0:
        raise argparse.ArgumentTypeError(f"a number from 0 up is asked for, not {text}")
    return number


_count.__name__ = "number"  # argparse says "invalid number value"


def _head(text: str) -> Head:
    """Read a record code, 1234:9f3a-07c2-51de-88b0. Raises ValueError."""
    from kiosk.log.store import Head  # a command that asks nothing of a log does without

    return Head.read(text)


_head.__name__ = "record code"


def _seconds(text: str) -> float:
    """Read a time as 480min or 8h. Raises ValueError, which argparse puts into words."""
    for unit, seconds in (("min", 60.0), ("h", 3600.0)):
        if text.strip().endswith(unit):
            return float(text.strip().removesuffix(unit)) * seconds
    raise ValueError(text)


_seconds.__name__ = "time"
