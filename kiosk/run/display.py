"""How somebody wants the screen of the station."""

from __future__ import annotations

from dataclasses import dataclass


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
