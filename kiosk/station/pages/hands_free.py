"""Pages for what is heard and felt, and for the keys of pedal and switch."""

from __future__ import annotations

from kiosk.run.state import Role, commands
from kiosk.station.desk import Desk, Page
from kiosk.station.pages.sheet import Button, Sheet
from kiosk.words import Words


def cues(desk: Desk, words: Words) -> Sheet:
    """Tones, voice and vibration, each on or off."""
    now = desk.cues()
    kinds = {"tones": now.tones, "voice": now.voice, "vibration": now.vibration}

    def turned(kind: str) -> Button:
        state = words("page.cue.on" if kinds[kind] else "page.cue.off")
        after = kinds | {kind: not kinds[kind]}
        none = words("page.cue.none") if kind in desk.silent() else ""
        label = words(f"page.cue.{kind}", state=state)
        return Button(label, lambda: desk.set_cues(commands.SetCues(**after)), none)

    return Sheet(
        title=words("page.cues"),
        lines=(words("page.cues_line"),),
        choices=tuple(turned(kind) for kind in kinds),
        columns=1,
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def keys(desk: Desk, words: Words) -> Sheet:
    """What each key does."""
    learned = {role: code for code, role in desk.shell.state.keys}

    def choice(role: Role) -> Button:
        code = learned.get(role)
        line = words("page.keys_own") if code is None else words("page.keys_learned", scancode=code)
        return Button(words(f"role.{role.name.lower()}"), lambda: desk.learn(role), line)

    forget = Button(words("page.keys_forget"), desk.forget_keys)
    return Sheet(
        title=words("page.keys"),
        lines=(words("page.keys_line"),),
        choices=(*(choice(role) for role in Role), *((forget,) if learned else ())),
        left=Button(words("page.back"), lambda: desk.go(Page.SUPERVISOR)),
    )


def learn_key(desk: Desk, words: Words) -> Sheet:
    """The next key that is pressed is the one."""
    role = words(f"role.{desk.learning.name.lower()}") if desk.learning else ""
    return Sheet(
        title=words("page.keys_wait"),
        lines=(words("page.keys_wait_line", role=role),),
        left=Button(words("page.back"), lambda: desk.go(Page.KEYS)),
    )
