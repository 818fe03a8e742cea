"""Brings the catalogues beside it up to date: `python assets/locale/make.py`.

Each sentence of the tables in `kiosk/words` is one entry, told by its message id (msgctxt), in
the order of the ids: two people who add sentences seldom touch neighbouring lines. What is said
in English no more leaves; what is said otherwise is marked fuzzy until somebody has looked at
it and taken the mark away; what is not translated yet is printed.
"""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1]))

from kiosk.words.english import TABLE  # noqa: E402 - found by the line above
from kiosk.words.marks import Plural, Sentence  # noqa: E402

HEADER = """\
# Every sentence of the station in {name}. `python assets/locale/make.py` keeps it in order.
msgid ""
msgstr "Language: {language}\\nMIME-Version: 1.0\\nContent-Type: text/plain; charset=utf-8\\n\
Content-Transfer-Encoding: 8bit\\nPlural-Forms: nplurals=2; plural=(n != 1);\\n"

"""
LANGUAGES = {"es": "Spanish"}


def fresh(known: Catalog) -> Catalog:
    """Return the catalogue of all sentences with what `known` says of them."""
    made = Catalog(fuzzy=False)  # two forms, as the header says: newer CLDR data has three for es
    by_id = {each.context: each for each in known}
    for id_, sentence in sorted(TABLE.items()):
        english = _english(sentence)
        before = by_id.get(id_)
        said = before.string if before is not None else ""
        flags = set(before.flags) & {"fuzzy"} if before is not None else set()
        if before is not None and before.id != english:
            flags.add("fuzzy")
        if isinstance(english, tuple) != isinstance(said, tuple):
            said = (said, said) if isinstance(english, tuple) else said[0]
        made.add(english, said, context=id_, flags=flags)
    return made


def _english(sentence: Sentence) -> str | tuple[str, str]:
    return (sentence.one, sentence.many) if isinstance(sentence, Plural) else sentence


def as_text(language: str, made: Catalog) -> str:
    """Return the catalogue as the file that is kept: nothing in it that changes by itself."""
    file = BytesIO()
    write_po(file, made, width=0, omit_header=True)
    return HEADER.format(language=language, name=LANGUAGES[language]) + file.getvalue().decode()


def missing(made: Catalog) -> list[Message]:
    """Return the entries without a sentence, or with one that somebody has to look at."""
    return [
        each
        for each in made
        if each.id and (each.fuzzy or not all(each.string if each.pluralizable else [each.string]))
    ]


def main() -> int:
    """Write every catalogue anew; print what is to be translated."""
    left = 0
    for language in LANGUAGES:
        path = HERE / f"{language}.po"
        with path.open("rb") as file:
            made = fresh(read_po(file))
        path.write_text(as_text(language, made), "utf-8", newline="\n")
        for each in missing(made):
            print(f"{path.name}: {each.context}: {each.id}")
            left += 1
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
