"""Where a number comes from; a number without a source is a guess."""

import json
from collections.abc import Mapping
from dataclasses import field
from enum import Enum

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.notes import Message, say


class SourceKind(Enum):
    """The kinds of source, with the words that files use."""

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
    """A kind and its details, each empty if unknown.

    A sheet has `title` and `date`; a trial `date`, `initials`, `garments` (how many),
    `looked_at`, `at` (its setting and cloth, `284 F, 13 s, knit-polyester`: it proves no other)
    and the results of its `wash` and `stretch` tests, if made; a published one `work` and
    `edition`. Dates are ISO 8601.
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
        """Whether nobody has looked up or tried this number."""
        return self.kind is SourceKind.GUESS


GUESS = Source()


@dataclass(frozen=True, slots=True)
class Sources:
    """The source of a material, a fabric or a press, and of single keys that have another."""

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
"""The details of each kind, as files spell them."""

TELLING = {
    SourceKind.SUPPLIER_SHEET: ("title", "date"),
    SourceKind.SHOP_TRIAL: ("date", "initials"),
    SourceKind.PUBLISHED: ("work", "edition"),
    SourceKind.GUESS: (),
}
"""The details that a sentence names, most important first."""


BRIEF = {
    SourceKind.SUPPLIER_SHEET: (),
    SourceKind.SHOP_TRIAL: ("date",),
    SourceKind.PUBLISHED: ("work",),
    SourceKind.GUESS: (),
}
"""The details that a brief sentence names."""


def source_in_words(source: Source, brief: bool = False) -> Message:
    """Return the source in a few words: its kind, and its main details as far as known."""
    names = (BRIEF if brief else TELLING)[source.kind]
    values = {name: str(getattr(source, name)) for name in names}
    known = [name for name, value in values.items() if value]
    end = "".join(f".{name}" for name in known)
    return say(f"source.{source.kind.id}{end}", **{name: values[name] for name in known})


def yaml_text(found: Sources) -> str:
    """Return sources as YAML on one line, as in a shop file."""
    if not found.keys:
        return _yaml(found.owner)
    keys = ", ".join(f"{name}: {_yaml(each)}" for name, each in found.keys.items())
    details = _details(found.owner)
    return f"{{{', '.join((*details, f'keys: {{{keys}}}'))}}}"


def _yaml(source: Source) -> str:
    details = _details(source)
    return source.kind.value if len(details) == 1 else f"{{{', '.join(details)}}}"


def _details(source: Source) -> list[str]:
    """Return the kind and each known detail as `key: value`; free text in quotes."""
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
