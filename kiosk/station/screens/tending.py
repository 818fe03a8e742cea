"""A garment that cools: where it lies, how it feels, what a thermometer shows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from kiosk.catalog.base import Degrees, converted
from kiosk.catalog.model import Peel
from kiosk.run.show import View
from kiosk.run.state import Feels, Lies, SayPlace, Touch
from kiosk.station.boxes import Box
from kiosk.station.cautions import cautions
from kiosk.station.screens.judging import Chosen, Judging, grid
from kiosk.station.screens.page import Page
from kiosk.station.type import CAPITAL, Style, height
from kiosk.station.widgets.caution_box import CautionBox
from kiosk.station.widgets.number_pad import NumberPad
from kiosk.words.cautions import TOUCH


def draw_tending(page: Page, view: View, content: Box, judging: Judging, chosen: Chosen) -> None:
    """Draw where it can lie and how it can feel, or a pad for what a thermometer shows."""
    ticket = judging.ticket
    if judging.reads:
        title = page.word("reading", number=judging.number)
        _pad(page, content, title, ticket, chosen)
        return
    lies = {Lies.LIFTED: "lifted", Lies.ON_PAD: "on_pad"}
    words = [
        (
            page.word(f"{word}{'_said' if view.inspect_lies is place else ''}"),
            _say(page, ticket, place),
        )
        for place, word in lies.items()
    ]
    warm = next((c.peel is Peel.WARM for c in view.chips if c.ticket == ticket), False)
    felt = {Feels.READY: "feels_ready", Feels.NOT_READY: "feels_not_ready"}
    words += [
        (page.word(f"{word}{'_warm' if warm else ''}"), _felt(page, ticket, feels))
        for feels, word in felt.items()
    ]
    words.append((page.word("thermometer"), lambda: chosen.turn(replace(judging, reads=True))))
    box = CautionBox(content, page.scale, cautions(page.words, TOUCH))
    page.add(box)
    content = content.from_top(box.box.h, page.scale.mm(2.0))[1]
    grid(page, content, page.word("cooling_title", number=judging.number), words, chosen.choices)


def _say(page: Page, ticket: str, lies: Lies) -> Callable[[], None]:
    return lambda: page.act(SayPlace(ticket, lies))


def _felt(page: Page, ticket: str, feels: Feels) -> Callable[[], None]:
    return lambda: page.act(Touch(ticket, feels))


def _pad(page: Page, content: Box, title: str, ticket: str, chosen: Chosen) -> None:
    """A pad for whole degrees of the station's unit."""
    scale = page.scale
    head = height(1, scale.line / CAPITAL)
    top, room = content.from_top(head, scale.mm(2.0))
    page.text(title, top, Style(scale.small, scale.line * 1.2, bold=True, rows=1))
    unit = page.settings.temperature
    words = (page.word("clear"), page.word("enter"))
    enter = lambda text: _read(page, ticket, int(text), unit)  # noqa: E731 - used once
    keys = NumberPad(room, scale, enter, words, f"°{unit.value}", typed=chosen.typed)
    page.add(keys)
    chosen.choices.buttons.extend(keys.buttons)


def _read(page: Page, ticket: str, shown: int, unit: Degrees) -> None:
    celsius = round(converted(float(shown), unit, Degrees.C), 1)
    page.act(Touch(ticket, Feels.READING, celsius))
