"""Why something cannot be pressed and which changes would help, in people's words."""

import re
from collections.abc import Mapping

from kiosk.catalog.base import Message, Pressure, Value, say
from kiosk.catalog.model import Catalog, Peel, SheetRule, Surface
from kiosk.plan.model import FABRIC, Limit, PanelRefusal
from kiosk.plan.phrases import element_word, panel_word, piece_words


def limit_words(limit: Limit) -> Message:
    """Return a limit of a refusal in people's words: its owner and what it requires."""
    owner: Value = say("heat.owner.fabric")
    if limit.owner != FABRIC:
        element, _, layer = limit.owner.rpartition(".")
        owner = say("limit.piece", element=element_word(element), layer=layer)
    values = tuple(_value_words(each) for each in limit.value.split(", "))
    return say(f"limit.{limit.key}", owner=owner, value=values)


def refusal_words(refusal: PanelRefusal, catalog: Catalog) -> tuple[Message, ...]:
    """Return why a panel cannot be pressed and which changes work, using titles, not keys."""
    limits = tuple(map(limit_words, refusal.conflict))
    conflict = say("page.conflict", panel=panel_word(refusal.panel), limits=limits)
    return (conflict, *(_change_words(change, catalog) for change in refusal.changes))


def _change_words(change: Message, catalog: Catalog) -> Message:
    sheets = catalog.fabrics if "fabrics" in change.values else catalog.materials
    titles = {key: each.title for key, each in sheets.items()}
    values = {
        name: tuple(_change_value(str(each), titles) for each in value)
        if isinstance(value, tuple)
        else value
        for name, value in change.values.items()
    }
    return Message(change.id, values)


def _change_value(text: str, titles: Mapping[str, str]) -> Value:
    """A film or fabric by title (a film with its degrees), or a piece with its film."""
    first, _, rest = text.partition(" ")
    if "." not in first:
        return (f"{titles.get(first, first)} {_with_degrees(rest)}".strip(),)
    piece_name = piece_words(first)
    return say("settings.piece_film", piece=piece_name, film=titles[rest]) if rest else piece_name


def _value_words(value: str) -> str | Message:
    """A known word of a file in people's words; a quantity as written, with a degree sign."""
    return say(WORDS[value]) if value in WORDS else _with_degrees(value)


def _with_degrees(text: str) -> str:
    return DEGREES.sub(r"\1 °\2", text)


DEGREES = re.compile(r"(\d) ?([FC])\b")


WORDS = {peel.word: f"peel.{peel.word}" for peel in Peel}
WORDS |= {each.word: f"pressure.{each.word}" for each in Pressure}
WORDS |= {each.value: f"entry.word.{each.value}" for each in (*SheetRule, *Surface)}
WORDS[FABRIC] = "entry.word.fabric"
