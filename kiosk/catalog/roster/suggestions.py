"""What a cell may have meant: offered as answers to a question, never put in its place."""

import re
import unicodedata
from html import unescape

from kiosk.catalog.base import is_plain, nearest_word
from kiosk.catalog.model.orders import BY_CODE, YOUTH_STEPS, bare_step, size_named

NAME_MARKS = frozenset(" '’.·-‐‑")
MOST_WORDS = 8  # read in a size cell


_LETTERS_END = "\u0250"  # Ĳ and Ǆ, before this, are letters of languages, not ligatures


def plain_form(text: str) -> str:
    """Return a text with full-width letters, ligatures and similar forms made plain."""
    return "".join(unicodedata.normalize("NFKC", c) if _is_form(c) else c for c in text)


def _is_form(character: str) -> bool:
    tag = unicodedata.decomposition(character)[:1]
    return tag == "<" and (character >= _LETTERS_END or character in "ªº")


# Invisible characters of categories L and M (Unicode's Default_Ignorable_Code_Point).
_NEVER_DRAWN = frozenset(
    map(chr, (0x34F, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x3164, 0xFFA0, *range(0x180B, 0x1810)))
) | frozenset(map(chr, (*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))))


def without_hidden(text: str) -> str:
    """Return a text without invisible marks such as variation selectors and fillers."""
    return "".join(c for c in text if c not in _NEVER_DRAWN)


def has_hidden(text: str) -> bool:
    """Return whether a text that looks plain contains something invisible."""
    visible = without_hidden(text)
    plain = all(c in NAME_MARKS or unicodedata.category(c)[0] in "LMN" for c in visible)
    return not is_plain(text) or (visible != text and plain)


def printable(text: str) -> str:
    """Return a text without characters that do not print; a tab or line break is a blank."""
    blank = "".join(" " if unicodedata.category(c) in {"Cc", "Zl", "Zp"} else c for c in text)
    return " ".join("".join(c for c in without_hidden(blank) if is_plain(c)).split())


# Common practice, no source.
YOUTH_WORDS = frozenset({
    "youth", "yth", "kid", "kids", "child", "children", "childrens", "junior", "juniors", "jr",
    "boys", "girls", "juvenil", "infantil", "niño", "niños", "niña", "niñas",
})  # fmt: skip
ADULT_WORDS = frozenset({
    "adult", "adults", "senior", "seniors", "men", "mens", "women", "womens", "ladies", "lady",
    "adulto", "adultos", "adulta", "hombre", "hombres", "mujer", "mujeres", "dama", "damas",
    "caballero", "caballeros",
})  # fmt: skip


def says_youth(text: str) -> bool:
    """Return whether a size, or a heading of sizes, has a word for youth."""
    return not YOUTH_WORDS.isdisjoint(re.findall(r"\w+", text.casefold()))


def sizes_within(text: str) -> tuple[str, ...]:
    """Return the size codes that words of a longer text spell: `XL - mens`, `2XL/3XL`.

    The longest match counts. A step alone gives both adult and youth, youth first if the text
    has a word for it.
    """
    words = re.findall(r"\w+(?:['’]\w+)*", plain_form(text))[:MOST_WORDS]
    classes, codes = "YA" if says_youth(text) else "AY", dict[str, None]()
    used: set[int] = set()
    for length in range(len(words), 0, -1):
        for first in range(len(words) - length + 1):
            phrase, places = (
                " ".join(words[first : first + length]),
                {*range(first, first + length)},
            )
            found = size_named(phrase)
            if found is not None and not places & used:
                used |= places
                step = bare_step(phrase)
                both = [f"{each}{step}" for each in classes if step in YOUTH_STEPS]
                codes |= dict.fromkeys(both or [found.code])
    return tuple(codes)


_COUNTED = re.compile(
    r"(\d{1,2})(?: *[x×*] *| +)(\D.*)|(\D*?) *(?:[x×*] *(\d{1,2})|\((\d{1,2})\))", re.I
)


def counted_size(text: str) -> tuple[str, int]:
    """Return the size and count of a text: `L x2`, `2 x M`, `M (2)`; "" and 0 for none.

    `2 XL` is a single size.
    """
    found = None if size_named(text) else _COUNTED.fullmatch(text.strip())
    if found is None:
        return "", 0
    size = found[2] or found[3] or ""
    count = int(found[1] or found[4] or found[5])
    return (size, count) if size_named(size) else ("", 0)


def nearest_size(text: str) -> str:
    """Return the size code most like a text, with the same digits, or ""."""
    plain = plain_form(text)[:12]
    figures = re.findall("[0-9]", plain)
    return nearest_word(plain, (c for c in BY_CODE if re.findall("[0-9]", c) == figures), 0.7)


_SIGNED = re.compile(r"(?:#|n(?:[o°ºr]\.?|[úu]m\.)?) *([0-9]+)", re.IGNORECASE)


_LIKE_DIGITS = str.maketrans("OoIl", "0011")


def digits_of(text: str) -> str:
    """Return the digits that a text may mean: `#12`, `No 12`, `7?`, `1O`; "" for none."""
    if signed := _SIGNED.fullmatch(text):
        return signed[1]
    plain = "".join(str(unicodedata.digit(c, "")) or c for c in text)
    with_words = re.fullmatch(r"(?:[^\W\d_]+\W+)*([0-9]+)(?:\W+[^\W\d_]+)*\W*", plain)
    if with_words:  # 7 (GK), GK 1
        return with_words[1]
    digits = plain.translate(_LIKE_DIGITS)
    runs = re.findall("[0-9]+", digits)
    alone = len(runs) == 1 and not any(map(str.isalpha, digits))
    return runs[0] if alone else ""


_IN_QUOTES = re.compile(r"(?<!\w)(['’‘])(\w[^'’‘]*)(['’])(?!\w)")


_LOOSE = re.compile(r"(?:^|\s)[-‐‑]|[-‐‑](?:\s|$)|['’]$")


def is_spelled(text: str) -> bool:
    """Return whether a text consists of letters and the marks that names have.

    Refused: a word between two apostrophes (a nickname in quotes, unlike O'NEIL), a hyphen at an
    end or next to a blank, and an apostrophe at the end.
    """
    if _IN_QUOTES.search(text) or _LOOSE.search(text):
        return False
    letters = [c for c in text if c not in NAME_MARKS]
    return bool(letters) and all(unicodedata.category(c)[0] in "LM" for c in letters)


_LOST = re.compile(r"[,?\ufffd]|\d[^\W\d_]")  # in J4MES the digit replaces a letter


def cleaned_name(text: str) -> str:
    """Return a name without brackets and signs, as in `KOVA (C)` or `“KOVA”`; "" for none.

    Also "" for a text with a comma (it may be surname first) or a question mark (it has lost a
    letter).
    """
    text = without_hidden(text).translate({ord(c): "'" for c in "`´′‵‛＇"})
    bare = re.sub(r"[(\[].*?[)\]]", " ", text)
    bare = re.split(r"(?<=\w) [-‐‑–—] ", _IN_QUOTES.sub(r"\2", bare))[0]
    bare = re.sub(r"(?<=\w)[–—−](?=\w)", "-", bare)  # typed as a hyphen, then autocorrected
    letters = "".join(
        c if unicodedata.category(c)[0] in "LM" or c in NAME_MARKS else " " for c in bare
    )
    name = " ".join(letters.split()).strip(".·-‐‑ ").rstrip("'’")
    return name if name and not _LOST.search(text) and is_spelled(name) else ""


def surname_first(text: str) -> tuple[str, ...]:
    """Return the readings of a surname-first name (`KOVA, ANNA`); none for any other text."""
    surname, comma, first = (part.strip() for part in text.partition(","))
    if not (comma and is_spelled(surname) and is_spelled(first)):
        return ()
    return surname, f"{first} {surname}"


def ungarbled(text: str) -> str:
    """Return a text with UTF-8 misread as cp1252 (`Ã‘` for Ñ) and HTML entities repaired."""
    try:
        return unescape(text.encode("cp1252").decode("utf-8"))
    except UnicodeError:
        return unescape(text)
