"""Possible readings of a text file without a known encoding, by code page."""

import re
import unicodedata
from collections.abc import Collection, Iterator
from itertools import pairwise

from kiosk.catalog.base import dataclass, say
from kiosk.catalog.base.notes import Notes

_PC = frozenset("ÁÉÍÓÚÜÑÄÖÅØáéíóúüñäöàâçèêîôåøæ")


@dataclass(frozen=True, slots=True)
class CodePage:
    """A code page, and how to recognise words written in it.

    `letters` are the foreign letters found in names, empty for all of the page's; `alone`: no
    word mixes foreign letters with a to z.
    """

    codec: str
    letters: frozenset[str] = frozenset()
    alone: bool = False


USUAL = CodePage("cp1252")
TURKISH = CodePage("cp1254")
BALTIC = CodePage("cp1257")
# Spreadsheets save in the last two if somebody chose CSV for MS-DOS or Macintosh, in one of the
# others on a machine set to such a language: common practice, no source.
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
class Decoding:
    """A text in one code page, and its version of the doubtful letters."""

    text: str
    letters: str


def readings(data: bytes) -> tuple[Decoding, ...]:
    """Return the possible readings, most likely first; just one if no letter is in doubt.

    Empty if it is not text. If the likely page is not the usual one there is always something to
    ask: the usual one follows, or the only reading has its doubtful letters.
    """
    texts = _texts(data)
    likely = sorted((page for page in texts if _could_be_in(texts[page], page)), key=_has_a_to_z)
    if USUAL in texts and USUAL not in likely:
        likely.append(USUAL)
    if not likely:
        return ()
    places = [n for run in _RUN.finditer(texts[likely[0]]) for n in range(*run.span())]
    by_letters: dict[tuple[str, ...], str] = {}
    for page in likely:
        by_letters.setdefault(tuple(texts[page][n] for n in places), texts[page])
    return _as_readings(by_letters, sure=likely[0] is USUAL or not places)


def _has_a_to_z(page: CodePage) -> bool:
    """Sort key, False first: text all in foreign letters is Cyrillic or Greek rather than Latin."""
    return not page.alone


def _as_readings(by_letters: dict[tuple[str, ...], str], sure: bool) -> tuple[Decoding, ...]:
    """Return the readings, the likely one first, with their letters if these are in doubt."""
    if len(by_letters) == 1 and sure:
        return tuple(Decoding(text, "") for text in by_letters.values())
    columns = dict.fromkeys(zip(*by_letters, strict=True))
    doubtful = [each for each in columns if len(set(each)) > 1 or len(by_letters) == 1]
    doubtful.sort(key=lambda each: -len(set(each)))  # the most distinctive letters first
    foreign = ("".join(c for c in each if not c.isascii()) for each in zip(*doubtful, strict=True))
    texts = by_letters.values()
    return tuple(Decoding(text, _spaced(own)) for text, own in zip(texts, foreign, strict=True))


def _texts(data: bytes) -> dict[CodePage, str]:
    """Return the text in each page that has a character for all of its bytes."""
    found: dict[CodePage, str] = {}
    for page in CODE_PAGES:
        try:
            found[page] = data.decode(page.codec)
        except UnicodeDecodeError:
            continue
    return found


MOST_LETTERS = 12


def _spaced(letters: str) -> str:
    """Return the letters separated by blanks, for people to choose by."""
    return " ".join("\u2423" if c.isspace() else c for c in letters[:MOST_LETTERS])


_LETTER = r"[^\x00-@\[-`{-\x7f]"  # as a negated set it is a hundred times faster
_NO_WORD = r"(?<!\d)(?![Nn]?[ºª]\b)"  # a price, Nº
_RUN = re.compile(rf"(?<!{_LETTER}){_NO_WORD}{_LETTER}+(?!\d|{_LETTER})")
_JOINTS = re.compile("[’‘\u00a0–-]")
_ENDS = "“”„«»¿¡ºª…·€£©®°"


def _could_be_in(text: str, page: CodePage) -> bool:
    """Return whether all words with foreign letters could have been written in a page."""
    words = set(_words(text, page))
    if page is BALTIC and not _has_baltic_s(text) and not _are_latvian(words):
        return False
    return (bool(words) or not page.alone) and all(_fits(word, page) for word in words)


def _has_baltic_s(text: str) -> bool:
    """True for a text with Š or Ž: nearly every Baltic list has them, and no Spanish one."""
    return any(letter in text for letter in "ŠŽšž")


_LATVIAN = re.compile("[a-zāčēģīķļņšūž]*[aeiosš]")
_NOT_LATVIAN = re.compile("[āēīū][aeiouāēīū]|[aeiou][āīū]")


def _are_latvian(words: Collection[str]) -> bool:
    """Return whether words look Latvian: with long vowels, and foreign letters beyond Ā and Ī.

    From memory: Latvian words end in a short vowel or s, and no other vowel is next to a long
    one, except before ē (DANIĒLS). French ç and î, Spanish í and Portuguese ç break these rules;
    Â and Î occur in French and Portuguese too (GRÂCE).
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
    # Polish ń is never before a vowel (ni is written there), Spanish ñ always is.
    if page.codec in {"cp1250", "cp1257"} and re.search("[Ńń][AEIOUYaeiouyÁÉÍÓÚáéíóú]", word):
        return False
    return not any(_mixes_case(a, b) for a, b in pairwise(word))


def _mixes_case(before: str, after: str) -> bool:
    """Return whether a capital follows a small letter, one of them foreign: never in a name."""
    return before.islower() and after.isupper() and not (before + after).isascii()


def choose_text(decodings: tuple[Decoding, ...], letters: Collection[str], notes: Notes) -> str:
    """Return the text with one of these `letters`, else the most likely; ask if in doubt."""
    first = decodings[0]
    if first.letters:
        others = tuple(each.letters for each in decodings[1:])
        problem = say("catalog.roster.code_page", letters=first.letters)
        notes.add(problem, found=first.letters, could_be=others, question=True)
    return next((each.text for each in decodings if each.letters in letters), first.text)
