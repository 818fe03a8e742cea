"""The card of a press's check: five readings, four strips of paper, what they come to."""

from __future__ import annotations

from kiosk.catalog.base import Value, say
from kiosk.run.state import Demand, Overruled, commands
from kiosk.station.cautions import cautions
from kiosk.station.checks import EDGES, PLACES, Checks
from kiosk.station.desk import Desk
from kiosk.station.pages.keys import digits
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words
from kiosk.words.cautions import PAPER, PROBE

LONGEST_READING = 3


def verify(desk: Desk, words: Words) -> Sheet:
    """The next thing to enter, or what the card comes to."""
    checks = desk.checks
    if not checks.begun:
        return _failed(desk, words) if checks.failed else _begin(desk, words)
    if len(checks.readings) < len(PLACES):
        return _reading(desk, words)
    if len(checks.paper_held) < len(EDGES):
        return _paper(desk, words)
    return _card(desk, words)


def _begin(desk: Desk, words: Words) -> Sheet:
    checks = desk.checks
    return Sheet(
        title=words("move.verify"),
        lines=(
            words("page.verify.set", **_set(checks)),
            words("page.verify.why"),
            words("page.verify.what"),
        ),
        cautions=cautions(words, PROBE + PAPER),
        main=Button(words("page.verify.begin"), checks.begin),
        left=_hold(desk, words),
        right=_waive(desk, words),
    )


def _reading(desk: Desk, words: Words) -> Sheet:
    checks = desk.checks
    place = PLACES[len(checks.readings)]
    return Sheet(
        title=words("page.verify.reading", place=say(f"page.verify.at.{place}"), **_set(checks)),
        entry=desk.entry,
        choices=digits(desk, words, LONGEST_READING),
        columns=6,
        main=Button(words("page.verify.next"), checks.read),
        left=Button(words("page.back"), checks.back),
    )


def _paper(desk: Desk, words: Words) -> Sheet:
    checks = desk.checks
    edge = EDGES[len(checks.paper_held)]
    return Sheet(
        title=words("page.verify.pull", edge=say(f"page.verify.edge.{edge}")),
        lines=(words("page.verify.pull_line"),),
        cautions=cautions(words, PAPER),
        choices=(
            Button(words("page.verify.holds"), lambda: checks.pull(True)),
            Button(words("page.verify.slips"), lambda: checks.pull(False)),
        ),
        left=Button(words("page.back"), checks.back),
    )


def _card(desk: Desk, words: Words) -> Sheet:
    checks = desk.checks
    rules = checks.job.rules
    slips = tuple(
        say(f"page.verify.edge.{edge}")
        for edge, held in zip(EDGES, checks.paper_held, strict=True)
        if not held
    )
    return Sheet(
        title=words("page.verify.passes" if checks.passes else "page.verify.fails"),
        lines=(
            words("page.verify.readings", readings=checks.readings, **_set(checks)),
            words("page.verify.offset", offset=_signed(checks.offset), most=rules.offset_most),
            words("page.verify.spread", spread=checks.spread, most=rules.spread_most),
            words("page.verify.paper_slips", edges=slips)
            if slips
            else words("page.verify.paper_holds"),
        ),
        main=Button(words("page.verify.write"), checks.write_down),
        left=Button(words("page.back"), checks.back),
    )


def _failed(desk: Desk, words: Words) -> Sheet:
    return Sheet(
        title=words("page.verify.failed"),
        lines=(words("page.verify.failed_line"), words("page.verify.recheck")),
        main=Button(words("page.verify.again"), desk.checks.begin),
        left=_hold(desk, words),
        right=_waive(desk, words),
    )


def _hold(desk: Desk, words: Words) -> Button:
    return Button(words("page.hold"), lambda: desk.shell.work(commands.HoldOn()))


def _waive(desk: Desk, words: Words) -> Button | None:
    """The supervisor's word, where the shop lets one have it."""
    if desk.checks.job.rules.verify is Demand.REQUIRED:
        return None
    return Button(words("page.let_pass"), lambda: desk.checks.let_pass(Overruled.VERIFICATION))


def _set(checks: Checks) -> dict[str, Value]:
    return {"temperature": checks.set_value, "unit": checks.job.plan.unit.value}


def _signed(degrees: float) -> str:
    return f"{degrees:+.1f}".replace("-", "\N{MINUS SIGN}")
