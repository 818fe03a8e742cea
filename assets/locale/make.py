"""Brings the catalogues beside it up to date: `.venv/bin/python assets/locale/make.py`.

`en.po` holds every sentence; new ones are written there, anywhere in it. Each has an id (`msgid`);
if something is counted, `msgid_plural` names the value that is counted. This script sorts by id, so
that two people who add sentences seldom touch neighbouring lines, and gives the other languages the
same ids, with the English as a note above each. A sentence that is gone from English is removed;
one whose English has changed is marked fuzzy until somebody has checked it and removed the mark;
what has to be written or checked is printed, with exit code 1.
"""

from __future__ import annotations

import sys
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

HERE = Path(__file__).resolve().parent
HEADER = """\
# Every sentence of the station in {name}, by its id, kept in order by
# `.venv/bin/python assets/locale/make.py`.
# Where something is counted, msgid_plural names the value that is counted.
msgid ""
msgstr "Language: {language}\\nMIME-Version: 1.0\\nContent-Type: text/plain; charset=utf-8\\n\
Content-Transfer-Encoding: 8bit\\nPlural-Forms: nplurals=2; plural=(n != 1);\\n"

"""
LANGUAGES = {"en": "English", "es": "Spanish"}


def known(language: str) -> Catalog:
    """Return the catalogue of a language as stored; raises PoFileError if it is broken."""
    with (HERE / f"{language}.po").open("rb") as file:
        return read_po(file, abort_invalid=True)


def fresh(language: str, english: Catalog) -> Catalog:
    """Return the catalogue of a language with all ids of `english`, in order."""
    made = Catalog(fuzzy=False)  # two forms, as the header says: newer CLDR data has three for es
    before = {_id(each): each for each in known(language)}
    for each in sorted((e for e in english if e.id), key=_id):
        if language == "en":
            made.add(each.id, each.string, user_comments=each.user_comments)
        else:
            _carry(made, each, before.get(_id(each)))
    return made


def _carry(made: Catalog, english: Message, before: Message | None) -> None:
    """Add one entry of another language, with its English as a note."""
    note = tuple(dict.fromkeys(english.string if english.pluralizable else (english.string,)))
    forms: tuple[str, ...] = ("",)
    comments: list[str] = []
    flags: set[str] = set()
    if before is not None:
        forms = before.string if before.pluralizable else (before.string,)
        comments, flags = before.user_comments, set(before.flags) & {"fuzzy"}
        if " ".join(before.auto_comments).split() != " ".join(note).split() and any(forms):
            flags.add("fuzzy")
    string = (forms[0], forms[-1]) if english.pluralizable else forms[0]
    made.add(english.id, string, auto_comments=note, user_comments=comments, flags=flags)


def as_text(language: str, made: Catalog) -> str:
    """Return the catalogue as the text of its file, which holds nothing that changes by itself."""
    file = BytesIO()
    write_po(file, made, width=0, omit_header=True)
    return HEADER.format(language=language, name=LANGUAGES[language]) + file.getvalue().decode()


def missing(made: Catalog) -> list[Message]:
    """Return the entries without a sentence, or with one that has to be checked."""
    return [
        each
        for each in made
        if each.id and (each.fuzzy or not all(each.string if each.pluralizable else [each.string]))
    ]


def _id(message: Message) -> str:
    return str(message.id[0] if message.pluralizable else message.id)


def main() -> int:
    """Write every catalogue again; print what has to be written or checked."""
    left = 0
    for language in LANGUAGES:
        made = fresh(language, known("en"))
        (HERE / f"{language}.po").write_text(as_text(language, made), "utf-8", newline="\n")
        for each in missing(made):
            print(f"{language}.po: {_id(each)}: {' / '.join(each.auto_comments)}")
            left += 1
    return 1 if left else 0


if __name__ == "__main__":
    sys.exit(main())
