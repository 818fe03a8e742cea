"""Pages of what a trainee has shown: to themselves, never beside somebody else."""

import time

from kiosk.catalog.model import FAMILIES
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.learn.practice import Practice
from kiosk.station.desk.sheet import Button, Page, Sheet, TablePicture
from kiosk.train.practice import NEW, criteria, curve, slips_told, timed
from kiosk.words import Words


def progress(desk: Desk, words: Words) -> Sheet:
    """Every family, and how far it is."""
    practice = desk.of(Practice)

    def choice(family: str) -> Button:
        line = state_of(desk, words, practice.operator, family)
        return Button(family_word(words, family), lambda: practice.look_into(family), line)

    return Sheet(
        title=words("practice.progress"),
        choices=tuple(choice(family) for family in FAMILIES),
        left=Button(words("page.back"), lambda: desk.go(Page.PRACTICE)),
        practice=True,
    )


def family(desk: Desk, words: Words) -> Sheet:
    """One family: what is done, what is to do, how the times came down."""
    practice = desk.of(Practice)
    own = practice.family
    ready = practice.may_ask(own)
    return Sheet(
        title=family_word(words, own),
        headline=state_of(desk, words, practice.operator, own),
        lines=tuple(criteria_lines(desk, words, practice.operator, own)),
        main=_ask(desk, words, own) if ready else None,
        left=Button(words("page.back"), lambda: desk.go(Page.PROGRESS)),
        right=times_button(desk, words, practice.operator, own, Page.PROGRESS_OF),
        practice=True,
    )


def times_button(desk: Desk, words: Words, operator: str, family: str, back: Page) -> Button:
    """The way to the times of one person's practised garments."""
    label = words("practice.times")
    return Button(label, lambda: desk.of(Practice).look_at_times(operator, family, back))


def times(desk: Desk, words: Words) -> Sheet:
    """How long the hands took for each garment, beside the fitted learning curve."""
    operator, own, back = desk.of(Practice).times_of
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    rows = [
        (str(t.nth), f"{t.seconds:.0f}", "" if t.on_curve is None else f"{t.on_curve:.0f}")
        for t in timed(trainee, own)
    ]
    head = tuple(words(f"practice.times.{each}") for each in ("nth", "took", "curve"))
    return Sheet(
        title=words("sign_offs.one", operator=operator, family=family_word(words, own)),
        lines=(words.say(curve(trainee, own)),),
        picture=TablePicture(head, tuple(reversed(rows))) if rows else None,
        left=Button(words("page.back"), lambda: desk.go(back)),
        practice=back is Page.PROGRESS_OF,
    )


def criteria_lines(desk: Desk, words: Words, operator: str, family: str) -> list[str]:
    """What the shop asks for and how far it is, then the learning curve."""
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    rule = desk.of(Practice).rule(family)
    asked = [words.say(each.line) for each in criteria(trainee, family, rule)]
    slips = slips_told(trainee, family)
    told = [] if slips is None else [words.say(slips)]
    return [*asked, *told, words.say(curve(trainee, family))]


def state_of(desk: Desk, words: Words, operator: str, family: str) -> str:
    """Signed off until when, asked for, ready, or not yet."""
    until = signed_until(desk, operator, family)
    if until is not None:
        return words("practice.signed_until", day=day_of(until))
    trainee = desk.of(Practice).record.training.get(operator, NEW)
    if family in trainee.asked:
        return words("practice.is_asked")
    ready = desk.of(Practice).is_ready(operator, family)
    return words("practice.ready" if ready else "practice.not_yet")


def signed_until(desk: Desk, operator: str, family: str) -> float | None:
    """Return until when a sign-off is good (wall time), None where none still is."""
    now = desk.shell.now().wall
    good = (s for s in desk.shell.state.sign_offs if s.until > now)
    return next((s.until for s in good if (s.operator, s.family) == (operator, family)), None)


def ask_buttons(desk: Desk, words: Words, families: tuple[str, ...]) -> tuple[Button, ...]:
    """A button for each family that may be asked for."""
    return tuple(_ask(desk, words, family) for family in families)


def _ask(desk: Desk, words: Words, family: str) -> Button:
    def act() -> None:
        desk.of(Practice).ask_sign_off(family)

    return Button(words("practice.ask_sign_off"), act, family_word(words, family))


def family_word(words: Words, family: str) -> str:
    """A family as people say it."""
    return words(f"practice.family.{family}")


def day_of(wall: float) -> str:
    """Return the day of a wall time, as a calendar has it."""
    return time.strftime("%Y-%m-%d", time.localtime(wall))
