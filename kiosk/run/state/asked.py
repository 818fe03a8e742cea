"""What a person is asked to read before heat, and how they want the screen."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Ask(Enum):
    """What a person is asked to read and enter before heat."""

    SIZE = "size"
    NUMBER = "number"
    SETTING = "setting"


class Changed(Enum):
    """Why a question is asked."""

    SIZE = "size"
    FABRIC = "fabric"
    SETTING = "setting"
    OPERATOR = "operator"
    BREAK = "break"
    TWIN = "twin"
    LATER_PASS = "later pass"


@dataclass(frozen=True, slots=True)
class Question:
    """What must be read from the garment (or press) first; `choices` in a shuffled order."""

    ticket: str
    ask: Ask
    because: Changed
    choices: tuple[str, ...]
    right: str
    tries: int = 0


@dataclass(frozen=True, slots=True)
class Display:
    """How somebody wants the screen; what is empty is as the shop has it.

    `degrees` is the scale shown beside the press's own, `length` `in` or `mm`; `still` where
    nothing is to move by itself.
    """

    language: str = ""
    degrees: str = ""
    length: str = ""
    still: bool = False


AS_THE_SHOP = Display()
