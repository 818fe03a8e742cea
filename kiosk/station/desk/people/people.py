"""Pages for who is at the press: PIN, signing on, initials."""

from __future__ import annotations

from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn import practice_pages as practice
from kiosk.station.desk.pads import digits, hidden, letters
from kiosk.station.desk.people.display import language
from kiosk.station.desk.people.pin import Pins, ask_pin
from kiosk.station.desk.sheet import Button, Page, Sheet
from kiosk.station.desk.shift.handing import Handing
from kiosk.words import Words


def choose_pin(desk: Desk, words: Words) -> Sheet:
    """The first start: the supervisor's PIN is chosen."""
    return Sheet(
        title=words("page.choose_pin"),
        lines=(words("page.choose_pin_line"),),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.choose_pin_main"), desk.of(Pins).choose),
    )


def repeat_pin(desk: Desk, words: Words) -> Sheet:
    """The new PIN once more."""
    return Sheet(
        title=words("page.repeat_pin"),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.repeat_pin_main"), desk.of(Pins).repeat),
        left=Button(words("page.back"), lambda: desk.go(Page.CHOOSE_PIN)),
    )


def pin(desk: Desk, words: Words) -> Sheet:
    """The supervisor's PIN is asked for; after wrong ones it says how long to wait."""
    wait = desk.of(Pins).wait
    if wait:
        return Sheet(
            title=words("page.pin_wait_title"),  # a title that counts would make touches too young
            headline=words("page.pin_wait", seconds=wait),
            lines=(words("page.pin_wait_line"),),
            left=Button(words("page.back"), desk.go_on),
        )
    return Sheet(
        title=words("page.pin"),
        entry=hidden(desk.entry),
        choices=digits(desk, words),
        columns=6,
        main=Button(words("page.pin_main"), desk.of(Pins).give),
        left=Button(words("page.back"), desk.go_on),
    )


def sign_on(desk: Desk, words: Words) -> Sheet:
    """Who is at the press?"""

    def known(initials: str) -> Button:
        return Button(initials, lambda: desk.sign_on(initials))

    return Sheet(
        title=words("page.sign_on"),
        lines=(words("page.sign_on_line"),),
        choices=(
            *(known(initials) for initials in sorted(desk.shell.state.operators)),
            Button(words("page.new_initials"), lambda: desk.go(Page.INITIALS)),
            practice.start(desk, words),
        ),
        left=language(desk, words),
        right=Button(words("page.supervisor"), lambda: ask_pin(desk)),
    )


def initials(desk: Desk, words: Words) -> Sheet:
    """Initials of somebody who is new at this station, or who comes."""
    handing = desk.of(Handing)
    take = handing.give if handing.begun else desk.sign_on
    return Sheet(
        title=words("page.initials"),
        entry=desk.entry,
        choices=letters(desk, words),
        columns=9,
        main=Button(words("page.initials_main"), lambda: take(desk.entry)),
        left=Button(words("page.back"), desk.go_on),
    )
