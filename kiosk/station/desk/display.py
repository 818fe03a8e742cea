"""Pages of each operator's language, units and motion; of the station's sounds and keys."""

from dataclasses import replace
from functools import lru_cache

from kiosk.catalog.base import Degrees, say
from kiosk.catalog.model import LANGUAGES, StationSettings
from kiosk.run.state import ChooseDisplay, Display, Role, commands
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.sheet import Button, HoldOption, PageKind, Sheet
from kiosk.words import Words

SCALES = {degrees.value: degrees for degrees in Degrees}


def with_choices(settings: StationSettings, display: Display) -> StationSettings:
    """Return the tablet's settings with the operator's choices over them.

    Choices this program does not know, recorded by a newer one, are ignored.
    """
    return replace(
        settings,
        language=display.language if display.language in LANGUAGES else settings.language,
        temperature=SCALES.get(display.degrees, settings.temperature),
        millimetres=display.length == "mm" if display.length else settings.millimetres,
        still=display.still or settings.still,
    )


@lru_cache(maxsize=8)
def words_for(language: str, degrees: Degrees, metric: bool = False) -> Words:
    """Return the same object for the same choice: a screen redraws when its words change."""
    return Words(language, degrees=degrees, metric=metric)


def other_language(settings: StationSettings) -> str:
    """Return the language that one tap switches to."""
    at = LANGUAGES.index(settings.language) if settings.language in LANGUAGES else 0
    return LANGUAGES[(at + 1) % len(LANGUAGES)]


def display(desk: Desk, words: Words) -> Sheet:
    """Page of language, units and motion; each button names what it switches to."""
    now, choices = _settings(desk), desk.shell.state.display
    fahrenheit = now.temperature is Degrees.F
    scale = replace(choices, degrees="C" if fahrenheit else "F")
    length = replace(choices, length="in" if now.millimetres else "mm")
    still = replace(choices, still=not now.still)
    return Sheet(
        title=words("page.display"),
        lines=(
            words("page.display_line"),
            words("page.display.awake" if desk.awake() else "page.display.asleep"),
        ),
        choices=(
            language_button(desk, words),
            _choice(desk, words, "celsius" if fahrenheit else "fahrenheit", scale),
            _choice(desk, words, "inches" if now.millimetres else "millimetres", length),
            _choice(desk, words, "moving" if now.still else "still", still),
        ),
        left=Button(words("page.back"), desk.go_on),
    )


def language_button(desk: Desk, words: Words) -> Button:
    """Button of the other language, in that language."""
    to = other_language(_settings(desk))
    return Button(words(f"language.{to}"), lambda: _turn_to(desk, to))


def language_option(desk: Desk) -> HoldOption:
    """The same button for a station on hold."""
    to = other_language(_settings(desk))
    return HoldOption(say(f"language.{to}"), lambda: _turn_to(desk, to))


def display_button(desk: Desk, words: Words) -> Button:
    """Button that opens this page."""
    return Button(
        words("page.display"), lambda: desk.go(PageKind.DISPLAY), words("page.display_what")
    )


def _turn_to(desk: Desk, to: str) -> None:
    desk.shell.do(ChooseDisplay(replace(desk.shell.state.display, language=to)))


def _choice(desk: Desk, words: Words, word: str, new: Display) -> Button:
    label, line = words(f"page.display.{word}"), words(f"page.display.{word}_line")
    return Button(label, lambda: _do(desk, new), line)


def _do(desk: Desk, new: Display) -> None:
    desk.shell.do(ChooseDisplay(new))


def _settings(desk: Desk) -> StationSettings:
    return with_choices(desk.library.station, desk.shell.state.display)


def cues(desk: Desk, words: Words) -> Sheet:
    """Page of tones, voice and vibration, each on or off."""
    cues_now = desk.cues()
    kinds = {"tones": cues_now.tones, "voice": cues_now.voice, "vibration": cues_now.vibration}

    def switch(kind: str) -> Button:
        state = words("page.cue.on" if kinds[kind] else "page.cue.off")
        after = kinds | {kind: not kinds[kind]}
        none = words("page.cue.none") if kind in desk.silent() else ""
        label = words(f"page.cue.{kind}", state=state)

        def act() -> None:
            desk.shell.do(commands.SetCues(**after))

        return Button(label, act, none)

    return Sheet(
        title=words("page.cues"),
        lines=(words("page.cues_line"),),
        choices=tuple(switch(kind) for kind in kinds),
        columns=1,
        main=Button(words("page.listen"), lambda: desk.go(PageKind.LISTEN)),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


TO_TRY = (
    "count pre-press", "count tack", "count final", "time up", "due", "over", "refused", "done",
    "voice", "vibration",
)  # fmt: skip


def listen(desk: Desk, words: Words) -> Sheet:
    """Page to try each tone, the voice and the vibration where they will be heard."""
    silent = desk.silent()

    def choice(cue: str) -> Button:
        word = f"page.listen.{cue.replace(' ', '_')}"
        kind = cue if cue in ("voice", "vibration") else "tones"
        line = words("page.cue.none") if kind in silent else words(f"{word}_line")
        return Button(words(word), lambda: desk.try_out(cue), line)

    return Sheet(
        title=words("page.listen"),
        lines=(words("page.listen_line"),),
        choices=tuple(choice(cue) for cue in TO_TRY),
        left=Button(words("page.back"), lambda: desk.go(PageKind.CUES)),
    )


class Keys:
    """The role that waits for its key."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self.learning: Role | None = None

    def learn(self, role: Role) -> None:
        """Wait for the key that gets `role`."""
        self.learning = role
        self._desk.go(PageKind.LEARN_KEY)

    def take(self, scancode: int) -> bool:
        """Take a key for the waiting role; return whether one was waiting."""
        desk = self._desk
        if desk.page is not PageKind.LEARN_KEY or self.learning is None:
            return False
        if desk.shell.do(commands.LearnKey(self.learning, scancode)).refusal is None:
            self.learning = None
            desk.go(PageKind.KEYS)
        return True

    def forget(self) -> None:
        """Go back to the built-in keys."""
        self._desk.shell.do(commands.ForgetKeys())


def keys(desk: Desk, words: Words) -> Sheet:
    """Page of what each key does."""
    learned = {role: code for code, role in desk.shell.state.keys}

    def choice(role: Role) -> Button:
        code = learned.get(role)
        line = words("page.keys_own") if code is None else words("page.keys_learned", scancode=code)
        return Button(words(f"role.{role.name.lower()}"), lambda: desk.of(Keys).learn(role), line)

    forget = Button(words("page.keys_forget"), desk.of(Keys).forget)
    return Sheet(
        title=words("page.keys"),
        lines=(words("page.keys_line"),),
        choices=(*(choice(role) for role in Role), *((forget,) if learned else ())),
        left=Button(words("page.back"), lambda: desk.go(PageKind.SUPERVISOR)),
    )


def learn_key(desk: Desk, words: Words) -> Sheet:
    """Page that waits for the key to learn."""
    learning = desk.of(Keys).learning
    role = words(f"role.{learning.name.lower()}") if learning else ""
    return Sheet(
        title=words("page.keys_wait"),
        lines=(words("page.keys_wait_line", role=role),),
        left=Button(words("page.back"), lambda: desk.go(PageKind.KEYS)),
    )
