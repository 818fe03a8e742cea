"""Messages of argparse in the shop's language."""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Iterable
from typing import Any, NoReturn

from kiosk.words import Words

_SENTENCES = (
    (r"the following arguments are required: (?P<names>.+)", "help.error.missing"),
    (r"unrecognized arguments: (?P<names>.+)", "help.error.unknown"),
    (r"expected one argument", "help.error.value"),
    (r"ambiguous option: (?P<found>.+?) could match (?P<names>.+)", "help.error.ambiguous"),
    (r"ignored explicit argument (?P<found>.+)", "help.error.flag"),
    (r"invalid choice: (?P<found>.+?) \(choose from (?P<names>.+)\)", "help.error.choice"),
)
"""Messages of argparse that our options can cause (Python 3.11 to 3.13), and ours for them.

They are matched by text, since argparse offers nothing else. Text that a later Python words
differently is shown unchanged.
"""
_OF_ONE = re.compile(r"argument (?P<name>[^:]+): (?P<why>.+)", re.DOTALL)


class Parser(argparse.ArgumentParser):
    """A parser whose usage and errors are in the language of `say`."""

    def __init__(self, *, say: Words, **others: Any) -> None:
        class Formatter(argparse.HelpFormatter):
            """Starts the usage line in that language."""

            def add_usage(
                self,
                usage: str | None,
                actions: Iterable[argparse.Action],
                groups: Iterable[argparse._MutuallyExclusiveGroup],
                prefix: str | None = None,
            ) -> None:
                super().add_usage(usage, actions, groups, prefix or f"{say('help.usage')} ")

        super().__init__(add_help=False, formatter_class=Formatter, **others)
        self._say = say
        self._optionals.title = say("help.options")  # argparse has no public way to them
        self._positionals.title = say("help.arguments")
        self.add_argument("-h", "--help", action="help", help=say("help.help"))

    def error(self, message: str) -> NoReturn:
        """Print the usage and the error, and exit with 2."""
        self.print_usage(sys.stderr)
        line = self._say("help.error", problem=translated(message, self._say))
        self.exit(2, f"{self.prog}: {line}\n")


def translated(message: str, say: Words) -> str:
    """Return an argparse error in the words of `say`, or unchanged if it is unknown."""
    of_one = _OF_ONE.fullmatch(message)
    if of_one is not None:
        why = translated(of_one["why"], say)
        return say("help.error.of", name=of_one["name"], why=why)
    for form, id_ in _SENTENCES:
        found = re.fullmatch(form, message, re.DOTALL)
        if found is not None:
            values = {name: text.replace("'", "") for name, text in found.groupdict().items()}
            return say(id_, **values)
    return message
