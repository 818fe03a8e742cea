"""What happens every frame, whatever goes wrong in one of them."""

from __future__ import annotations

from collections.abc import Callable

from kivy.base import ExceptionManager


def unending(act: Callable[[], object]) -> Callable[[float], None]:
    """Return `act` as an interval that goes on: Kivy never calls one again that has raised.

    An error goes the same way as one of any other handler, to Kivy's ExceptionManager.
    """

    def each_frame(dt: float) -> None:
        try:
            act()
        except Exception as problem:
            if ExceptionManager.handle_exception(problem) == ExceptionManager.RAISE:
                raise

    return each_frame
