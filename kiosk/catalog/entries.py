"""A new entry of a recipes file: kept as a draft until all is answered, then written whole."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import yaml

from kiosk.catalog.base import dataclass
from kiosk.catalog.base.files import BrokenSideFile, matching, read_side_file, write_whole
from kiosk.catalog.base.names import FABRICS, MATERIALS, SHOP
from kiosk.catalog.base.notes import LONGEST_WORD, Fault, Message, Notes, Unsound, say
from kiosk.catalog.base.quantities import Degrees
from kiosk.catalog.base.spots import root
from kiosk.catalog.base.tree import compose, flow, with_block
from kiosk.catalog.model import Catalog
from kiosk.catalog.read import new_faults, read_catalog
from kiosk.catalog.sheets.sheet_questions import (
    TABLES,
    AnswerForm,
    Answers,
    NewEntry,
    SheetQuestion,
    entry_of,
)

PLACES: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "material": (MATERIALS, ()), "fabric": (FABRICS, ()), "press": (SHOP, ("presses",)),
}  # fmt: skip
"""For each kind, the file and the path in it where a new entry goes."""
DRAFT_FILE = ".new-{kind}-{key}.json"


@dataclass(frozen=True, slots=True)
class EntryDraft:
    """An unfinished new entry: its kind, its key in the file, the answers so far in order."""

    kind: str
    key: str
    scale: Degrees
    answers: Answers

    @property
    def entry(self) -> NewEntry:
        """The entry that the answers make."""
        return entry_of(self.kind, self.answers, self.scale)

    @property
    def question(self) -> SheetQuestion | None:
        """The first question without an answer, or None if all have one."""
        return next((q for q in self.entry.questions if q.path not in self.answers), None)

    @property
    def title(self) -> str:
        """Its name for people."""
        return self.answers.get("title") or self.key

    @property
    def progress(self) -> tuple[int, int]:
        """The number of answers, and of questions known so far."""
        questions = self.entry.questions
        return sum(q.path in self.answers for q in questions), len(questions)

    def with_answer(self, path: str, answer: str | None) -> tuple[EntryDraft, tuple[Fault, ...]]:
        """Return the draft with one more answer, or unchanged with the checker's faults."""
        choices = {q.path: q.options for q in self.entry.questions if q.form is AnswerForm.CHOICE}
        if answer is not None and answer not in choices.get(path, (answer,)):
            return self, (Fault("", 0, path, say("catalog.asked.choice"), answer),)
        answers = {**self.answers, path: answer}
        faults = refusals(self.kind, answers, self.scale)
        near = (path, path.rpartition(".")[0] or path)
        own = [tuple(f for f in faults if f"{f.key}.".startswith(f"{place}.")) for place in near]
        nearest = own[0] or own[1] or faults
        return (self, nearest) if faults else (replace(self, answers=answers), ())

    def back(self) -> EntryDraft:
        """Return the draft without its last answer."""
        return replace(self, answers=dict(list(self.answers.items())[:-1]))


ENDS = frozenset({"low", "normal", "high", "from", "to"})  # keys with messages of their own


def field_fault(fault: Fault) -> Fault:
    """Return a refusal without what is on screen beside it: its place and the typed text."""
    found, problem = "" if fault.allowed or fault.nearest else fault.found, fault.problem
    if problem.id == "catalog.order" and ENDS.issuperset(problem.values.values()):
        words = {place: say(f"entry.end.{key}") for place, key in problem.values.items()}
        found, problem = re.sub(r"\w+: ", "", found), say(problem.id, **words)
    return replace(fault, file="", line=0, key="", found=found, problem=problem)


def option_word(question: SheetQuestion, option: str) -> Message:
    """Return the message for one of a question's choices."""
    own = {"pressure": "pressure", "pressure_max": "pressure", "peel": "peel", "tack": "peel"}
    first = question.path.partition(".")[0]
    if first in own and option not in ("yes", "no"):
        return say(f"{own[first]}.{option}")
    return say(f"entry.word.{option.replace(' ', '_')}")


def unit_of(question: SheetQuestion, draft: EntryDraft) -> str:
    """Return the unit for a number typed without one: the last one used, else the shop's."""
    used = (answer.split()[-1] for answer in reversed([*draft.answers.values()]) if answer)
    usual = draft.scale.value if draft.scale.value in question.options else question.options[0]
    return next((unit for unit in used if unit in question.options), usual)


def as_amount(question: SheetQuestion, typed: str, unit: str) -> str:
    """Return typed numbers with their units: `15 x 18` is `15 in x 18 in`, `270F` `270 F`."""
    sides = re.split(r"\s*[x×]\s*", typed.strip()) if question.sides > 1 else [typed.strip()]
    last_unit = re.search(r"[^\W\d_]+$", sides[-1])  # in `400 x 500 mm` both are mm
    unit = last_unit[0] if len(sides) > 1 and last_unit else unit
    return " x ".join(_with_unit(side, unit) for side in sides)


def _with_unit(typed: str, unit: str) -> str:
    found = re.fullmatch(r"([\d.,]+)\s*°?\s*(\D*)", typed)
    if found is None:
        return typed
    own = found[2] if len(found[2]) > 1 else found[2].upper().replace("S", "s")
    number = re.sub(r"^(\d+),(?!\d{3}$)(\d+)$", r"\1.\2", found[1])  # 1,500 may be thousands
    return f"{number} {own or unit}"


def fallback_in_words(question: SheetQuestion) -> tuple[Message | str, ...]:
    """Return the value used if the sheet does not say, as messages; none if the key is left out."""
    if question.form in (AnswerForm.CHOICE, AnswerForm.SOME):
        options = filter(None, re.split(r"[\[\], ]+", question.fallback))
        whole = question.fallback in question.options
        words = (question.fallback,) if whole else tuple(options)
        return tuple(option_word(question, option) for option in words)
    if question.path.startswith("peel_wait.") and question.path.endswith(".to"):
        return (say("entry.word.no_end"),)
    return (question.fallback,) if question.fallback not in ("", "null") else ()


def key_of(name: str) -> str:
    """Return a name's key in a file: `Cut film, matt` is `cut-film-matt`."""
    return re.sub(r"[\W_]+", "-", name.casefold())[:LONGEST_WORD].strip("-")


def as_title(typed: str) -> str:
    """Return capitals typed on screen as a title: `SKERRY FILM 14-B` is `Skerry film 14-B`."""
    text = " ".join(w if re.search(r"\d", w) else w.lower() for w in typed.split())
    return text[:1].upper() + text[1:]


def begin(kind: str, name: str, scale: Degrees) -> EntryDraft:
    """Return the draft of a new entry; a `name` that is not a key is also its title."""
    key = key_of(name)
    titled = name != key and any(each.key == "title" for each in TABLES[kind].fields)
    return EntryDraft(kind, key, scale, {"title": name.strip()} if titled else {})


def is_known(kind: str, key: str, catalog: Catalog) -> bool:
    """Return whether the file already has an entry with that key, sound or not."""
    return key in (catalog.keys_of({"press": "presses"}.get(kind, f"{kind}s")) or ())


def saved_drafts(recipes: Path, catalog: Catalog) -> tuple[EntryDraft, ...]:
    """Return the drafts kept beside the files, by kind and key.

    A draft whose entry is already in its file was written just before a stop: it is deleted.
    """
    drafts = tuple(
        filter(None, map(_read, matching(recipes, DRAFT_FILE.format(kind="*", key="*"))))
    )
    for draft in drafts:
        if is_known(draft.kind, draft.key, catalog):
            delete_draft(recipes, draft)
    return tuple(draft for draft in drafts if not is_known(draft.kind, draft.key, catalog))


def _read(path: Path) -> EntryDraft | None:
    try:
        content = read_side_file(path)
        kind, key, answers = str(content["kind"]), str(content["key"]), content["answers"]
        scale = Degrees(content["scale"])
    except (OSError, BrokenSideFile, KeyError, ValueError):
        return None
    sound = kind in TABLES and isinstance(answers, dict)
    whole = sound and all(each is None or isinstance(each, str) for each in answers.values())
    return EntryDraft(kind, key, scale, answers) if whole else None


def save(recipes: Path, draft: EntryDraft) -> None:
    """Save a draft beside the files. Raises OSError; the draft saved before is then kept."""
    head = {"kind": draft.kind, "key": draft.key, "scale": draft.scale.value}
    content = {**head, "answers": draft.answers}
    write_whole(_path(recipes, draft), json.dumps(content, ensure_ascii=False, indent=1).encode())


def delete_draft(recipes: Path, draft: EntryDraft) -> None:
    """Delete a draft's file."""
    with suppress(OSError):
        _path(recipes, draft).unlink()


def add(recipes: Path, draft: EntryDraft, remark: Callable[[Message], str]) -> tuple[Fault, ...]:
    """Write the entry into its file, whole, and delete the draft; return the faults if any.

    With a fault nothing is changed. `remark` turns the messages about what the sheet left open
    into text. Raises OSError.
    """
    file, place = PLACES[draft.kind]
    path, notes = recipes / file, Notes(file)
    try:
        text = path.read_bytes().decode("utf-8") if path.exists() else ""
        lines = lines_of(draft.entry, draft.kind, remark)
        text = with_block(text, place, draft.key, lines)
    except KeyError:
        notes.add(say("entry.no_place"))
        return notes.faults
    except (UnicodeDecodeError, yaml.YAMLError, RecursionError):  # the reader's faults say where
        return tuple(fault for fault in read_catalog(recipes)[1] if Path(fault.file).name == file)
    faults = new_faults(recipes, file, text)
    if not faults:
        write_whole(path, text.encode())
        delete_draft(recipes, draft)
    return faults


def _path(recipes: Path, draft: EntryDraft) -> Path:
    return recipes / DRAFT_FILE.format(kind=draft.kind, key=draft.key)


def lines_of(entry: NewEntry, kind: str, remark: Callable[[Message], str]) -> tuple[str, ...]:
    """Return the entry's lines for a file, with comments on what the sheet left open."""
    found: list[str] = []
    for key, value in entry.keys.items():
        remarks = "; ".join(map(remark, _remarks_on(entry, key)))
        comment = f"  # {remarks}" if remarks else ""
        if isinstance(value, list):
            found += [f"{key}:{comment}", *(f"  - {flow(each)}" for each in value)]
        else:
            found.append(f"{key}: {flow(value)}{comment}")
    more = tuple(each.key for each in TABLES[kind].fields if each.key not in entry.keys)
    return (*found, f"# {remark(say('entry.remark.more', keys=more))}") if more else tuple(found)


def _remarks_on(entry: NewEntry, key: str) -> Iterator[Message]:
    """Yield the remarks on a key: what the sheet left open, and what is the middle of a range."""
    for paths, kind in ((entry.guessed, "parts"), (entry.middles, "middle")):
        own = [path for path in paths if path.split(".")[0] == key]
        parts = tuple(dict.fromkeys(each.rpartition(".")[2] for each in own if "." in each))
        if own:
            yield say(f"entry.remark.{kind}", parts=parts) if parts else say("entry.remark")


def refusals(kind: str, answers: Answers, scale: Degrees) -> tuple[Fault, ...]:
    """Return the faults of the entry that the answers make."""
    lines = lines_of(entry_of(kind, answers, scale), kind, lambda message: message.id)
    notes = Notes("")
    with suppress(Unsound):
        spot = root(compose("\n".join(lines), notes), notes)
        TABLES[kind].under(kind, replace(spot, key=""))
    return notes.faults
