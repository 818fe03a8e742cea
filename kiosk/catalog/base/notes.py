"""Message ids with their values; faults and doubts, collected so that reading goes on."""

import hashlib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import TypeAlias

from kiosk.catalog.base.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Inches:
    """A length that `kiosk.words` shows in the unit wanted."""

    inches: float


@dataclass(frozen=True, slots=True)
class Celsius:
    """A temperature that `kiosk.words` shows in whole degrees of the scale wanted."""

    degrees: float


@dataclass(frozen=True, slots=True)
class FileKey:
    """A key path in a shop file (`policy.verify.demand`) that `kiosk.words` names for people."""

    file: str
    key: str


@dataclass(frozen=True, slots=True)
class FileValue:
    """A value at a key path of a shop file that `kiosk.words` puts in people's words."""

    key: str
    value: str


ValueForWords: TypeAlias = Inches | Celsius | FileKey | FileValue
Value: TypeAlias = "str | int | float | ValueForWords | Message | tuple[Value, ...] | None"
"""A `str` is always a figure or text that a person wrote; anything translated is a `Message`."""


@dataclass(frozen=True, slots=True)
class Message:
    """A message id of `kiosk.words` and the values of its sentence. Never a finished sentence.

    `otherwise` is shown if the id has no sentence: a newer program may have recorded it.
    """

    id: str
    values: Mapping[str, Value] = field(default_factory=dict)
    otherwise: str = field(default="", compare=False)

    def __hash__(self) -> int:
        return hash(self.id)  # a mapping has no hash; equal messages have equal ids


def say(id: str, **values: Value) -> Message:  # noqa: A002 - the field is called id everywhere
    """Return the message `id` with `values` by name."""
    return Message(id, values)


def recorded_word(family: str, word: str) -> Message:
    """Return the message `family`.`word` for a word in the record; it falls back to the word."""
    return Message(f"{family}.{word.replace(' ', '_')}", otherwise=word)


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question that a person must decide before a garment is touched.

    `row` counts from 1 in the file, 0 if the doubt is not about a single row; `column` is the
    field (`size`, `name` …) or the key of job.yaml. `written` is the text in the file, `read_as`
    what the job holds until somebody decides (empty for nothing), `could_be` what else it may
    mean, most likely first, `cause` why it is asked.
    """

    row: int
    column: str
    written: str
    read_as: str
    could_be: tuple[str, ...]
    cause: Message


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in a file: where, what was found, what would be right.

    `question` marks a doubt rather than an error: a person must decide before a garment is
    touched; `doubt` holds the choices. `line` counts from 1, 0 if no line applies. `id` is the
    question's id, by which it is answered; empty until one is given.
    """

    file: str
    line: int
    key: str
    problem: Message
    found: str = ""
    allowed: str | Message = ""
    nearest: str = ""
    question: bool = False
    doubt: Doubt | None = None
    id: str = field(default="", compare=False)

    @property
    def cause(self) -> str:
        """The last word of its problem's id."""
        return self.problem.id.rpartition(".")[2]


def question_id(fault: Fault, row: Sequence[str] = ()) -> str:
    """Return the id by which `fault` is answered: line, column, cause and a hash of the content.

    The content is `row`, the cells of its row as the file has them; without, the values of its
    sentence. It is hashed so that the id shows no player's name.
    """
    values = fault.problem.values
    cause = fault.cause
    if "first" in values:  # the other row concerned
        cause = f"{cause}-{values['first']}"
    if not row:
        named = ((key, each) for key, each in values.items() if key != "row")  # place, not content
        row = [str(each) for each in sorted(named)]
    elif not fault.key and fault.doubt is not None:
        row = (*row, fault.doubt.written)
    if isinstance(rows := values.get("rows"), tuple):  # the question is about all of them
        row = (*row, *map(str, rows))
    return ".".join((str(fault.line), fault.key or "file", cause, row_digest(row)))


def row_digest(row: Sequence[str]) -> str:
    """Return eight hex digits that differ, in practice, from those of any other row."""
    cells = "\0".join(row).encode("utf-8", "surrogatepass")
    return hashlib.sha256(cells).hexdigest()[:8]


LONGEST_SHOWN = 60
MOST_LISTED = 20


class Unsound(Exception):
    """A value could not be read; its fault is already noted."""


class Notes:
    """The faults found in the file named `file`; those of a `trial` are thrown away later."""

    def __init__(self, file: str, trial: bool = False) -> None:
        self.file = file
        self.trial = trial
        self._faults: list[Fault] = []

    def add(
        self,
        problem: Message,
        *,
        line: int = 0,
        key: str = "",
        found: str = "",
        allowed: str | Message = "",
        nearest: str = "",
        question: bool = False,
        read_as: str | None = None,
        could_be: tuple[str, ...] = (),
    ) -> Unsound:
        """Note one fault and return the exception to raise if there is no value.

        A question becomes a doubt: `read_as` is what the job holds meanwhile (None: `found`),
        `could_be` what else it may mean (empty: `nearest`).
        """
        doubt = None
        if question:
            others = could_be or ((nearest,) if nearest else ())
            doubt = Doubt(line, key, found, found if read_as is None else read_as, others, problem)
        self._faults.append(
            Fault(self.file, line, key, problem, one_line(found), allowed, nearest, question, doubt)
        )
        return Unsound()

    def take(self, faults: Iterable[Fault]) -> None:
        """Add faults that another reader has found."""
        self._faults.extend(faults)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults so far, by line."""
        return tuple(sorted(self._faults, key=lambda fault: fault.line))

    @property
    def hard(self) -> bool:
        """True if anything is wrong, not merely doubtful."""
        return any(not fault.question for fault in self._faults)


class AsWritten(str):
    """Text quoted from a file: figures in it are not translated."""

    __slots__ = ()


def one_line(text: str) -> AsWritten:
    """Return `text` shortened to fit one line of a terminal, with control characters escaped."""
    short = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    return AsWritten("".join(c if is_plain(c) else f"\\x{ord(c):02x}" for c in short))


UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def is_plain(text: str) -> bool:
    """Return whether all of `text` prints: no control, format, surrogate or line separator."""
    return text.isprintable() or not any(unicodedata.category(c) in UNSEEN for c in text)


def readable(text: str) -> str:
    """Return `text` of a path or argument with � for bytes that are no UTF-8: fit for any file."""
    return text.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def nearest_word(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return the known word most like `word`, ignoring case, or an empty text."""
    if len(word) > LONGEST_SHOWN:  # the cost of comparing is the product of the lengths
        return ""
    import difflib  # only needed for a misspelt word, not at start

    by_fold = {k.casefold(): k for k in known}
    close = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=cutoff)
    return by_fold[close[0]] if close else ""


def listed(known: Iterable[str]) -> str:
    """Return the words `known` in one line, at most MOST_LISTED of them."""
    words = list(known)
    more = ", …" if len(words) > MOST_LISTED else ""
    return ", ".join(words[:MOST_LISTED]) + more


LONGEST_WORD = 80


def word_problem(text: str) -> Message | None:
    """Return why `text` cannot be a name or title, or None if it can."""
    if not text or len(text) > LONGEST_WORD:
        return say("catalog.word.length", most=LONGEST_WORD)
    if not is_plain(text):
        return say("catalog.word.characters")
    return None


def check_name(name: str, notes: Notes) -> None:
    """Raise Unsound, its fault noted, if a file or folder's name cannot serve as a key."""
    problem = word_problem(name)
    if problem is not None:
        raise notes.add(problem, found=name)


def characters(text: str) -> list[str]:
    """Return the characters to pull for `text`: accents stay on their letter, no spaces."""
    if text.isascii():  # nearly always, and a roster has thousands of texts
        return [character for character in text if not character.isspace()]
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        elif not character.isspace():
            found.append(character)
    return found


def without_accents(text: str) -> str:
    """Return `text` in lower case without accents, as people often type it."""
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().casefold()
