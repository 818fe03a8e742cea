"""What a text's letters may be where the file does not say how they were saved: by code page."""

import re
import unicodedata
from collections.abc import Collection, Iterator
from itertools import pairwise

from kiosk.catalog.base import dataclass, say
from kiosk.catalog.base.notes import Notes

_PC = frozenset("ÁÉÍÓÚÜÑÄÖÅØáéíóúüñäöàâçèêîôåøæ")


@dataclass(frozen=True, slots=True)
class CodePage:
    """A way to write letters as bytes, and what words by it are like.

    `letters` are those that names have by it, none for all that it has; `alone`: no word has
    both these and a to z.
    """

    codec: str
    letters: frozenset[str] = frozenset()
    alone: bool = False


USUAL = CodePage("cp1252")
TURKISH = CodePage("cp1254")
BALTIC = CodePage("cp1257")
# Spreadsheets save by the first of these on a machine set to such a language, by the last two
# where somebody chose CSV for MS-DOS or Macintosh: common practice, no source.
CODE_PAGES = (
    USUAL,
    CodePage("cp1250"),
    TURKISH,
    BALTIC,
    CodePage("cp1251", alone=True),
    CodePage("cp1253", alone=True),
    CodePage("mac_roman", _PC),
    CodePage("cp850", _PC),
)


@dataclass(frozen=True, slots=True)
class Reading:
    """A text by one code page, and the letters in doubt as it has them."""

    text: str
    letters: str


def readings(data: bytes) -> tuple[Reading, ...]:
    """Return what a text may be, most likely first; one alone where no letter is in doubt.

    None where it is no text. A text by a page that nobody writes by is asked about too: it is
    then followed by the usual one, or alone with letters.
    """
    texts = _texts(data)
    likely = sorted((page for page in texts if _is_by(texts[page], page)), key=_has_a_to_z)
    if USUAL in texts and USUAL not in likely:
        likely.append(USUAL)
    if not likely:
        return ()
    places = [n for run in _RUN.finditer(texts[likely[0]]) for n in range(*run.span())]
    by_letters: dict[tuple[str, ...], str] = {}
    for page in likely:
        by_letters.setdefault(tuple(texts[page][n] for n in places), texts[page])
    return _told(by_letters, sure=likely[0] is USUAL or not places)


def _has_a_to_z(page: CodePage) -> bool:
    """Such pages come last: Cyrillic or Greek is hardly Latin with an accent on every letter."""
    return not page.alone


def _told(by_letters: dict[tuple[str, ...], str], sure: bool) -> tuple[Reading, ...]:
    """The readings, the likely one first, with what their letters are where they are in doubt."""
    if len(by_letters) == 1 and sure:
        return tuple(Reading(text, "") for text in by_letters.values())
    columns = dict.fromkeys(zip(*by_letters, strict=True))
    doubtful = [each for each in columns if len(set(each)) > 1 or len(by_letters) == 1]
    doubtful.sort(key=lambda each: -len(set(each)))  # what tells most of them apart comes first
    shown = ("".join(c for c in each if not c.isascii()) for each in zip(*doubtful, strict=True))
    texts = by_letters.values()
    return tuple(Reading(text, _listed(own)) for text, own in zip(texts, shown, strict=True))


def _texts(data: bytes) -> dict[CodePage, str]:
    """The text by each page that has a character for all of its bytes."""
    found: dict[CodePage, str] = {}
    for page in CODE_PAGES:
        try:
            found[page] = data.decode(page.codec)
        except UnicodeDecodeError:
            continue
    return found


MOST_LETTERS = 12


def _listed(letters: str) -> str:
    """The letters, parted by blanks, so that people can choose by them."""
    return " ".join("\u2423" if c.isspace() else c for c in letters[:MOST_LETTERS])


_LETTER = r"[^\x00-@\[-`{-\x7f]"  # named by what it is not, `re` reads it a hundred times sooner
_NO_WORD = r"(?<!\d)(?![Nn]?[ºª]\b)"  # a price, Nº
_RUN = re.compile(rf"(?<!{_LETTER}){_NO_WORD}{_LETTER}+(?!\d|{_LETTER})")
_JOINTS = re.compile("[’‘\u00a0–-]")
_ENDS = "“”„«»¿¡ºª…·€£©®°"


def _is_by(text: str, page: CodePage) -> bool:
    """Whether all words of a text with foreign letters may be written by a page."""
    words = set(_words(text, page))
    if page is BALTIC and not _has_baltic_s(text) and not _are_latvian(words):
        return False
    return (bool(words) or not page.alone) and all(_fits(word, page) for word in words)


def _has_baltic_s(text: str) -> bool:
    """Š and Ž stand in nearly every Baltic list; without them each Í of a Spanish one is asked."""
    return any(letter in text for letter in "ŠŽšž")


_LATVIAN = re.compile("[a-zāčēģīķļņšūž]*[aeiosš]")
_NOT_LATVIAN = re.compile("[āēīū][aeiouāēīū]|[aeiou][āīū]")


def _are_latvian(words: Collection[str]) -> bool:
    """Whether words are like Latvian ones, with a long vowel, and not all with Ā and Ī alone.

    From memory: its words end in a short vowel or s, and beside a long vowel stands no other one,
    save before ē (DANIĒLS). French ç and î, Spanish í and Portuguese ç stand otherwise; Â and Î
    are French and Portuguese too (GRÂCE).
    """
    plain = [word.casefold() for word in words]
    foreign = {letter for word in plain for letter in word if not letter.isascii()}
    return bool(foreign & {*"āēīū"} and foreign - {*"āī"}) and all(
        _LATVIAN.fullmatch(word) and not _NOT_LATVIAN.search(word) for word in plain
    )


def _words(text: str, page: CodePage) -> Iterator[str]:
    for run in _RUN.findall(text):
        if not run.isascii():
            words = (run,) if page.letters else _JOINTS.split(run.strip(_ENDS))
            yield from (word for word in words if not word.isascii())


def _fits(word: str, page: CodePage) -> bool:
    foreign = {c for c in word if not c.isascii()}
    if not all(c.isalpha() and unicodedata.category(c) != "Lm" for c in word):
        return False
    if page.alone and (len(word) < 2 or len(foreign) < len(set(word))):
        return False
    if page.letters and not foreign <= page.letters:
        return False
    # The Polish ń stands before no vowel (it is written ni there), the Spanish ñ only there.
    if page.codec in {"cp1250", "cp1257"} and re.search("[Ńń][AEIOUYaeiouyÁÉÍÓÚáéíóú]", word):
        return False
    return not any(_turns(a, b) for a, b in pairwise(word))


def _turns(before: str, after: str) -> bool:
    """Whether a capital follows a small letter, one of them foreign: no name is written so."""
    return before.islower() and after.isupper() and not (before + after).isascii()


def chosen(found: tuple[Reading, ...], letters: Collection[str], notes: Notes) -> str:
    """Return the text that has one of these `letters`, or the most likely; ask if others may be."""
    first = found[0]
    if first.letters:
        others = tuple(each.letters for each in found[1:])
        problem = say("catalog.roster.code_page", letters=first.letters)
        notes.add(problem, found=first.letters, could_be=others, question=True)
    return next((each.text for each in found if each.letters in letters), first.text)
