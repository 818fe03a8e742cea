"""Message ids with their values; faults and doubts, gathered so that a reader goes on."""

import hashlib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from typing import TypeAlias

from kiosk.catalog.base.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Inches:
    """A length that words give in the shop's own unit."""

    inches: float


@dataclass(frozen=True, slots=True)
class Celsius:
    """A temperature that words give, in whole degrees, on the scale that is wanted."""

    degrees: float


@dataclass(frozen=True, slots=True)
class FileKey:
    """A place in a file of the shop's, as `policy.verify.demand`, that words name for people."""

    file: str
    key: str


@dataclass(frozen=True, slots=True)
class FileValue:
    """What stands at a place of a file, or is to stand there, that words tell as people do."""

    key: str
    value: str


ToldByWords: TypeAlias = Inches | Celsius | FileKey | FileValue
Value: TypeAlias = "str | int | float | ToldByWords | Message | tuple[Value, ...] | None"
"""A `str` is always text that somebody wrote or a figure; what has a sentence is a `Message`."""


@dataclass(frozen=True, slots=True)
class Message:
    """An id of `kiosk.words` and the values that its sentence names. Never a finished sentence.

    `otherwise` is said where there is no sentence of that id: a newer program may have written it.
    """

    id: str
    values: Mapping[str, Value] = field(default_factory=dict)
    otherwise: str = field(default="", compare=False)

    def __hash__(self) -> int:
        return hash(self.id)  # a mapping has no hash; equal messages have equal ids


def say(id: str, **values: Value) -> Message:  # noqa: A002 - the field is called id everywhere
    """Return the message `id` with `values` by name."""
    return Message(id, values)


def as_recorded(of: str, word: str) -> Message:
    """Return the message `of`.`word` of a word in a record; the word itself where it has none."""
    return Message(f"{of}.{word.replace(' ', '_')}", otherwise=word)


@dataclass(frozen=True, slots=True)
class Doubt:
    """What a person decides before a garment is touched.

    `row` counts from 1 in the file, 0 where the doubt is about no single row; `column` is the
    field (`size`, `name` …) or the key of job.yaml. `written` is what stands there, `read_as`
    what the job holds until somebody decides (empty for nothing), `could_be` what else may be
    meant, most likely first, `cause` why it is asked.
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

    `question` marks what is doubtful rather than wrong: a person must decide before a
    garment is touched; `doubt` says what there is to decide. `line` counts from 1, 0 where no
    line applies. `id` names it to be answered, empty where nothing of it was asked yet.
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
        """What is wrong or doubted, by the last word of its problem's id."""
        return self.problem.id.rpartition(".")[2]


def question_id(fault: Fault, row: Sequence[str] = ()) -> str:
    """Return the name by which `fault` is answered: row, column, cause and what it was asked of.

    `row` are the cells of its row as they stand in the file; without, what its sentence names.
    No name can be read of it.
    """
    values = fault.problem.values
    cause = fault.cause
    if "first" in values:  # another row that it has to do with
        cause = f"{cause}-{values['first']}"
    if not row:
        named = ((key, each) for key, each in values.items() if key != "row")  # a place, no content
        row = [str(each) for each in sorted(named)]
    elif not fault.key and fault.doubt is not None:
        row = (*row, fault.doubt.written)
    if isinstance(rows := values.get("rows"), tuple):  # it is asked about all of them
        row = (*row, *map(str, rows))
    return ".".join((str(fault.line), fault.key or "file", cause, row_digest(row)))


def row_digest(row: Sequence[str]) -> str:
    """Return eight hex digits that another row does not have."""
    cells = "\0".join(row).encode("utf-8", "surrogatepass")
    return hashlib.sha256(cells).hexdigest()[:8]


LONGEST_SHOWN = 60
MOST_LISTED = 20


class Unsound(Exception):
    """A value could not be read; its fault has been noted already."""


class Notes:
    """The faults found in the file named `file`; a trial's are looked at and thrown away."""

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
        """Note one fault and return what a reader may raise to give its value up.

        A question becomes a doubt: `read_as` is what the job holds meanwhile (None: what was
        found), `could_be` what else may be meant (none: the nearest known word).
        """
        doubt = None
        if question:
            others = could_be or ((nearest,) if nearest else ())
            doubt = Doubt(line, key, found, found if read_as is None else read_as, others, problem)
        self._faults.append(
            Fault(self.file, line, key, problem, shown(found), allowed, nearest, question, doubt)
        )
        return Unsound()

    def take(self, faults: Iterable[Fault]) -> None:
        """Note faults that another reading has found."""
        self._faults.extend(faults)

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The faults so far, by line."""
        return tuple(sorted(self._faults, key=lambda fault: fault.line))

    @property
    def hard(self) -> bool:
        """Whether anything is wrong, not merely doubtful."""
        return any(not fault.question for fault in self._faults)


class AsWritten(str):
    """A text as it stands in a file: no figure in it is put into a language."""

    __slots__ = ()


def shown(text: str) -> AsWritten:
    """Return `text` fit for one line of a terminal: no control characters, not long."""
    short = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    return AsWritten("".join(c if is_plain(c) else f"\\x{ord(c):02x}" for c in short))


UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def is_plain(text: str) -> bool:
    """Tell whether all of `text` prints: no control, format, surrogate or line separator."""
    return text.isprintable() or not any(unicodedata.category(c) in UNSEEN for c in text)


def nearest_word(word: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Return the known word most like `word`, whatever its case, or an empty text."""
    if len(word) > LONGEST_SHOWN:  # comparing costs the product of the lengths
        return ""
    import difflib  # only a misspelt word asks for it, not a start

    by_fold = {k.casefold(): k for k in known}
    close = difflib.get_close_matches(word.casefold(), list(by_fold), n=1, cutoff=cutoff)
    return by_fold[close[0]] if close else ""


def listed(known: Iterable[str]) -> str:
    """Return the words `known` in one line, cut off where there are many."""
    words = list(known)
    more = ", …" if len(words) > MOST_LISTED else ""
    return ", ".join(words[:MOST_LISTED]) + more


LONGEST_WORD = 80


def word_problem(text: str) -> Message | None:
    """Return why `text` is no name or title, or None."""
    if not text or len(text) > LONGEST_WORD:
        return say("catalog.word.length", most=LONGEST_WORD)
    if not is_plain(text):
        return say("catalog.word.characters")
    return None


def check_name(name: str, notes: Notes) -> None:
    """Note a file's or folder's name that cannot serve as a key; raises Unsound then."""
    problem = word_problem(name)
    if problem is not None:
        raise notes.add(problem, found=name)


def characters(text: str) -> list[str]:
    """Return the characters to pull for `text`: accents stay on their letter, spaces need none."""
    if text.isascii():  # nearly all are, and a roster has thousands
        return [character for character in text if not character.isspace()]
    found: list[str] = []
    for character in unicodedata.normalize("NFC", text):
        if unicodedata.combining(character) and found:
            found[-1] += character
        elif not character.isspace():
            found.append(character)
    return found


def without_accents(text: str) -> str:
    """Return `text` in small plain letters, as somebody types it who leaves accents out."""
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().casefold()
