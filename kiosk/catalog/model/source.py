"""Where a number comes from: what names no source is a guess, and no guess is a sheet."""

import json
from collections.abc import Mapping
from dataclasses import field
from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.notes import Message, say


class SourceKind(Enum):
    """The kinds of source, by the words that files use."""

    SUPPLIER_SHEET = "supplier sheet"
    SHOP_TRIAL = "shop trial"
    PUBLISHED = "published"
    GUESS = "guess"

    @property
    def id(self) -> str:
        """The last part of its message ids: `supplier_sheet`."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Source:
    """A kind and its details, each empty where nobody wrote it.

    A sheet has `title` and `date`; a trial `date`, `initials`, `garments` (how many),
    `looked_at`, `at` which setting and on which cloth (`284 F, 13 s, knit-polyester`: it holds
    for no other) and, if they were made, what its `wash` and `stretch` tests found; a published
    one `work` and `edition`. Dates are ISO 8601.
    """

    kind: SourceKind = SourceKind.GUESS
    title: str = ""
    date: str = ""
    initials: str = ""
    garments: int = 0
    looked_at: str = ""
    wash: str = ""
    stretch: str = ""
    at: str = ""
    work: str = ""
    edition: str = ""

    @property
    def is_guess(self) -> bool:
        """Whether nobody has looked this number up or tried it."""
        return self.kind is SourceKind.GUESS


GUESS = Source()


@dataclass(frozen=True, slots=True)
class Sources:
    """The source of a material, a fabric or a press, and by key where another one holds."""

    owner: Source = GUESS
    keys: Mapping[str, Source] = field(default_factory=dict, hash=False)

    def of(self, key: str) -> Source:
        """Return the source of `key`, as the file spells it: `peel_wait`, `temperature_max`."""
        return self.keys.get(key, self.owner)


ALL_GUESSED = Sources()

DETAILS = {
    SourceKind.SUPPLIER_SHEET: ("title", "date"),
    SourceKind.SHOP_TRIAL: ("date", "initials", "garments", "looked_at", "at", "wash", "stretch"),
    SourceKind.PUBLISHED: ("work", "edition"),
    SourceKind.GUESS: (),
}
"""The details that a kind has, as files spell them."""

TELLING = {
    SourceKind.SUPPLIER_SHEET: ("title", "date"),
    SourceKind.SHOP_TRIAL: ("date", "initials"),
    SourceKind.PUBLISHED: ("work", "edition"),
    SourceKind.GUESS: (),
}
"""The details that a sentence names, the one that tells most first."""


BRIEF = {
    SourceKind.SUPPLIER_SHEET: (),
    SourceKind.SHOP_TRIAL: ("date",),
    SourceKind.PUBLISHED: ("work",),
    SourceKind.GUESS: (),
}
"""The details that it is not told without."""


def source_told(source: Source, brief: bool = False) -> Message:
    """Return the source in a few words: its kind, and its main details where written."""
    names = (BRIEF if brief else TELLING)[source.kind]
    values = {name: str(getattr(source, name)) for name in names}
    known = [name for name, value in values.items() if value]
    end = "".join(f".{name}" for name in known)
    return say(f"source.{source.kind.id}{end}", **{name: values[name] for name in known})


def written(found: Sources) -> str:
    """Return sources as YAML on one line, as a file has them."""
    if not found.keys:
        return _written(found.owner)
    keys = ", ".join(f"{name}: {_written(each)}" for name, each in found.keys.items())
    details = _details(found.owner)
    return f"{{{', '.join((*details, f'keys: {{{keys}}}'))}}}"


def _written(source: Source) -> str:
    details = _details(source)
    return source.kind.value if len(details) == 1 else f"{{{', '.join(details)}}}"


def _details(source: Source) -> list[str]:
    """The kind, then each detail that is known; people's words in quotes."""
    known = {name: getattr(source, name) for name in DETAILS[source.kind]}
    plain = ("date", "garments")
    return [
        f"kind: {source.kind.value}",
        *(
            f"{name}: {value if name in plain else json.dumps(value, ensure_ascii=False)}"
            for name, value in known.items()
            if value
        ),
    ]
