"""Every sentence with every possible value, in both languages, for people to read.

`python -m tests.words.all_sentences FILE` writes them: each id with its English and Spanish.
A field missing from the tables below fails the test: add its values. Fields
are varied one at a time; the others keep their first value.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from kiosk.catalog.base import Inches, Message, Value, say
from kiosk.words import Words
from kiosk.words.speak import catalogue

ENGLISH = catalogue("en")

WORDS = {
    "panel": "panel", "side": "panel", "peel": "peel", "then": "peel", "element": "element",
    "cause": "cause", "defect": "defect", "closes": "phase", "phase": "phase",
    "purpose": "report.purpose",
    "sheet": "sheet_line", "next": "next", "kind": "catalog.own", "edge": "page.verify.edge",
    "word": "evidence", "part": "part", "role": "role", "family": "practice.family",
    "pressure": "pressure", "result": "stage", "step": "practice.step", "place": "page.verify.at",
    "rule": "report.rule", "topic": "practice.step",
}  # fmt: skip
"""Fields that hold a word with an id of its own, and the prefixes of these ids."""

LISTS = {
    "elements": "element", "phases": "phase", "edges": "page.verify.edge", "marks": "report.mark",
    "families": "practice.family", "steps": "practice.step", "kinds": "page.cue.brief",
    "defects": "defect", "causes": "cause", "faults": "defect", "keys": "source.key",
}  # fmt: skip
"""Fields that hold a list of such words: with one word and with two."""

COUNTS = re.compile(
    r"above|accepted|across|after|along|answered|approved|at|bare_high|bare_low|"
    r"before|behind|behind_gap|below|beyond|bond_high|bond_low|changes|closings|copy|"
    r"count|cpk|declared|degree|degrees|done|early|end|ended|energy_high|energy_low|"
    r"equivalent_high|equivalent_low|every|from|gap|garments|generation|good|group|guided|"
    r"has|height_mm|high|highest_high|highest_low|inches_mm|jobs|last|late|late_high|"
    r"late_low|layer|layers|least|left|levels|limit_mm|line|low|made|materials|"
    r"hours|mean|measured|median|megabytes|minutes|missed|more_high|more_low|most|most_mm|"
    r"moves|n|narrow|needs|not_seen|now|nth|of|offset|open|ordered|"
    r"other|others|over|page|passed|percent|planned|ppk|process|prompted|"
    r"rate|read|ready|reasons|recall|"
    r"received|recipes|reference|row|ruler_mm|samples|scancode|scrap|scraps|second|"
    r"seconds|seconds_high|seconds_low|seen|seq|shift|shifts|shop|shown|signals|"
    r"signed|slips|slow|spread|start|stations|taps|tickets|timed|times|to|tolerance|"
    r"total|value|values|watch|whole|wide"
)
"""Fields that hold a whole number."""

TEXTS: Mapping[str, tuple[Value, ...]] = {
    "number": ("7", "00", "48"), "racked": ("31", "9"), "figure": ("2",), "held": ("9",),
    "sizes": (("YM",), ("AS", "AM")),
    "twin": ("6",), "numbers": (("7",), ("7", "12")), "digits": ("2 7",),
    "material": ("smooth-film", "felt-letter"), "film": ("Cool film, a barrier to dye",),
    "films": (("Smooth film, takes another layer",), ("Felt letter", "Chrome film")),
    "titles": (("Plush film, soft raised pile",), ("Felt letter", "Chrome film")),
    "articles": (("cotton-knit",), ("cotton-knit", "felt-letter")),
    "fabric": ("Cotton jersey",), "fabrics": (("knit-poly", "cotton-knit"),),
    "colour": ("white", "dark green"), "colours": (("white",), ("white", "red")),
    "recipe": ("two-layer-pair",), "press": ("heron",), "title": ("Orsavel raft polo",),
    "owner": ("Cotton jersey",), "owners": (("Cotton jersey",), ("Cotton jersey", "Felt letter")),
    "name": ("divers",), "job": ("raft-polo",), "operator": ("AK",), "by": ("AK",), "who": ("AK",),
    "operators": (("AK", "IK"),), "people": (("AK", "IK"),), "initials": ("AK",),
    "unit": ("F", "C"), "temperature": ("300",), "setting": ("300 °F",), "limit": ("2",),
    "size": ("AM", "YXL"), "sized": ("talla AM",), "set": ("home",), "written": ("Medium",),
    "day": ("2026-03-01",), "date": ("2026-03-01",), "due": ("2026-03-01",), "when": ("08:40",),
    "option": ("--press",), "days": ("2026-03-01",), "began": ("08:00",), "since": ("08:00",),
    "path": ("shared/jobs/divers",), "file": ("materials.yaml",), "files": (("a.csv",),),
    "folder": ("shared/jobs/divers",), "found": ("12 mm",), "why": ("No such file",),
    "header": ("Dorsal",), "headers": (("Dorsal",),), "field": ("number",), "key": ("peel_wait",),
    "text": ("MARA",), "typed": ("10-12",), "letters": (("Ł", "Č"), ("Ł",)), "face": ("B612",),
    "letter": ("B",), "here": ("'",), "usual": ("’",), "format": ("000",), "texts": (("7", "10"),),
    "sets": (("Home", "Away"),),
    "question": ("5.size.bare_size.1a2b3c4d",), "names": (("Hoja2",),), "rows": ("4",),
    "cells": (("12", "7"),), "example": ("number: No",), "character": ("6",),
    "endings": ((".csv", ".xlsx"),), "allowed": ("F, C",), "nearest": ("medium",),
    "could_be": ("7",), "meant": ("284 F",), "same": ("140 C",),
    "read_as": ("AL",), "problem": ("this key is missing",),
    "height": ("2 1/2 in",), "length": (Inches(2.5),), "distance": (Inches(1.0),),
    "inches": (25.9,), "ruler": (5.5,),
    "rulers": (say("place.ruler_of.adult", ruler=say("place.ruler_on", length=Inches(5.5))),),
    "width": (Inches(0.12),), "off": (Inches(0.12),),
    "price": ("15.20",), "pack": ("Kit of 75 digits",), "pairs": (("06 / 90", "09 / 60"),),
    "order": ("AS 52 34 · AM 18",), "passes": ("back, front",), "parts": ("number 29 s",),
    "pull": (say("next.pull.plain", elements=(say("element.name"),)),), "what": ("Cotton jersey",),
    "source": (say("source.guess"), say("source.supplier_sheet.date", date="2026-03-01")),
    "piece": (say("settings.piece", element=(say("element.name"),), layer=1),),
    "each": (
        (
            say("peel.line.carriers_of", pieces=(say("element.name"),)),
            say(
                "peel.line.carriers_of_when",
                pieces=(say("element.number"), "crest"),
                peel=say("peel.cold"),
            ),
        ),
    ),
    "pieces": ((say("element.name"),), (say("element.name"), say("element.number"))),
    "beside": (say("line.beside.estimate", low=20, high=35),), "zone": (say("chip.from", low=9),),
    "asked": ("7",), "known": (("1", "2"),), "lay": ("8–18",), "load": ("10–20",),
    "carrier": ("2–5",), "inspect": ("4–10",), "settle": ("3–10",), "first": ("1",),
    "units": (("F", "C"), ("in", "mm")), "bare": ("F", "mm"),
    "back": ("<",), "answers": ("keep, leave-out",), "taken": ('"Dorsal" as number',),
    "change": ("use another fabric",), "changed": ("name: 13 s instead of 15 s",),
    "warning": ("try one first",), "head": ("22:7a90",), "aside": ("old",), "kept": ("new",),
    "tail": ("station.sqlite3-wal",),
    "url": ("http://127.0.0.1:8030/",),
    "host": ("station-2",), "program": ("0.1.0",), "station": ("raft",), "table": ("facts",),
    "ticket": ("7",), "events": (("3",), ("3", "25")), "edition": ("2",), "work": ("Knits",),
    "device": ("pedal",), "stick": ("ORDERS",), "state": (say("page.cue.on"), say("page.cue.off")),
    "reason": (say("handover.pad_worn"),), "right": ("27",), "told": ("6 and 9: 1",),
    "garment": ("7",), "where": ("3",), "normal": (15,), "opened": ("08:41, not seen",),
    "counted": (say("plan.size.border_counted"), say("plan.size.border_left_out")),
    "code": ("US college",), "limits": (("name.1.temperature.low=260 F",),),
    "platen": ("16 x 20 in",),
    "readings": ("300, 301",), "looks": (say("practice.came.turned.looks", held="9", number="6"),),
    "sign": (say("quiz.hurt.dye.sign"),), "between": ("2–9",), "whose": ("AK",),
    "share": ("4 de 9",), "cpk_between": ("1.0–1.4",), "ppk_between": ("1.0–1.4",),
    "plans": ("north, south · west",), "batches": (("3",), ("3", "5")),
    "closed": ("08:40, measured",), "way": (say("line.load.away", panel=say("panel.back")),),
}  # fmt: skip
"""Fields that hold text written by a person, or a figure."""

STEPS = tuple(
    say(id_, **dict.fromkeys(re.findall(r"{(\w+)}", ENGLISH.forms[id_][0]), 1))
    for id_ in ENGLISH.forms
    if id_.startswith("practice.step.") and "{peel}" not in ENGLISH.forms[id_][0]
)
SETTINGS = tuple(
    say("plan.setting", temperature=degrees, unit="F", seconds=12, pressure=say("pressure.firm"))
    for degrees in (280, 300)
)
HOT, WARM, COLD = (say(f"quiz.peel.{word}") for word in ("hot", "warm", "cold"))
SHARES = (1, 0, 2)
PEELS = (say("peel.hot"), say("peel.cold"))
HERE: Mapping[str, tuple[Value, ...]] = {
    **{f"plan.apart.closing {whose}": SETTINGS for whose in ("theirs", "ours")},
    **{f"plan.apart.peel {whose}": PEELS for whose in ("theirs", "ours")},
    **{f"plan.apart.piece {whose}": ("Felt letter, white",) for whose in ("theirs", "ours")},
    **{f"answer.material.{word} part": SHARES for word in ("at_press", "some")},
    **{f"report.{word} part": SHARES for word in ("first_pass", "first_pass_few", "share")},
    "report.share_few part": SHARES,
    **{f"catalog.asked.{word} kind": () for word in ("list", "map", "value")},
    "catalog.key.no_word kind": (),
    "command.report.no_days known": ("2026-03-01 – 2026-03-09",),
    "command.report.no_garment_of known": (
        ("divers (Kelp divers)",),
        ("divers (Kelp divers)", "raft-polo (Raft polo)"),
    ),
    "command.report.no_number known": (("7",), ("7", "23")),
    "command.plan.usable temperatures": ("270 to 296", "302"),
    "command.plan.usable dwell": ("13 to 19", "13"),
    "command.entry.kept kind": ("material",),
    "practice.slips.of kind": tuple(
        say(id_) for id_ in ENGLISH.forms if id_.startswith("practice.slip.")
    ),
    "ask.first.peel then": (say("ask.line.setting"),),
    "ask.first.rack then": (say("ask.line.setting"),),
    "catalog.roster.other_face other": ("DejaVu",),
    "command.demo.no_jobs jobs": ("shared/jobs",),
    "command.demo.stopped size": ("1280x800",),
    "command.demo.stopped why": ("NotShown: 'Orsavel pond club' among ['Supervisor']",),
    "command.check.columns_left left": (("Notas",),),
    "command.order.column place": (1,),
    "command.order.row row": (1,),
    "command.plan.assumed peel": ("3–6",),
    "command.log.exported path": ("copy.json",),
    "line.lay.two_colours other": ("red",),
    "line.lay.two_colours.brief other": ("red",),
    "line.top.two_colours other": ("red",),
    "line.top.two_colours.brief other": ("red",),
    "log.mended kept": ("12",),
    "log.no_file part": ("shared",),
    "page.hand_over.record code": ("22:7a90",),
    "page.lot.article materials": (("Smooth film",),),
    "page.ruled what": (say("stage.good"), say("stage.rework")),
    "pin.for.let_pass what": tuple(
        say(id_) for id_ in ENGLISH.forms if id_.startswith("let_pass.")
    ),
    "practice.came.cold.why asked": ("300",),
    "practice.came.hot.why asked": ("300",),
    "practice.curve.rate next": (24,),
    "practice.curve.rate then": (80,),
    "practice.look.border.seen right": (1,),
    "practice.look.sheet.asked sheet": (say("sheet.on"), say("sheet.off")),
    "practice.why step": STEPS,
    "practice.thing.piece piece": ("divers",),
    **{
        f"practice.{word} thing": tuple(
            say(id_, nth=1) if id_.endswith("figure") else say(id_)
            for id_ in ENGLISH.forms
            if id_.startswith("practice.thing.") and not id_.endswith("piece")
        )
        for word in ("noted", "bench.wrong")
    },
    **{
        f"practice.came.colour.{word} {field}": ("green",)
        for word in ("looks", "why")
        for field in ("held", "asked")
    },
    **{f"practice.criterion.kinds_{word} has": (5,) for word in ("met", "open")},
    "order.bare_rows rows": (("3", "12", "15"),),
    "heat.pad.cold step": ("°F",),
    "heat.pad.first step": ("°F",),
    "plan.place.name_too_wide height": (1.25,),
    "quiz.hurt.what_comes cause": (say("quiz.hurt.dye.cause"),),
    "quiz.hurt.what_now cause": (say("quiz.hurt.dye.cause"),),
    "quiz.score right": (1,),
    "quiz.why.hotter allowed": ((HOT,), (WARM, COLD)),
    "report.chart.lots stations": (("raft", "reed"),),
    "report.copies stations": (("raft", "reed"),),
    "report.handovers_reading told": (1,),
    "report.line ended": ("09:00",),
    "report.lots_few size": (15,),
    "report.record code": ("22:7a90",),
    "settings.change.material materials": (("felt-letter",),),
    "settings.change.one_layer layers": (("name.1 felt-letter",),),
    "settings.change.swap layers": (("name.1 felt-letter",),),
    "sign_offs.sign days": (365,),
    "work.inches length": ("2 1/2",),
    "work.millimetres length": ("63",),
    "work.side_up way": (say("entry.word.collar_away_from_operator"),),
}
"""Fields whose name means something else in one sentence, with the values there."""

AT_LEAST_TWO = re.compile(
    r"catalog\.(answer|packs|recipe|roster|word|yaml)\.|plan\.(place\.parts|why\.)|settings\.change"
    r"|report\.lots_|practice\.(curve|criterion\.garments_open)|command\.plan\.(own|minutes)"
    r"|refuse\.pressed|answer\.(drift\.drifting|failed\.even|material)|station\.finish|answer\.slow"
    r"|report\.chart|log\.mended|quiz\.not_yet|sheet\.open|wall\.heard_|order\.bare_sizes"
)
"""Sentences used only for more than one thing, or whose figure is a limit."""

FIELD = re.compile(r"{(\w+)[^}]*}")


def below(prefix: str) -> tuple[Message, ...]:
    """Return the words directly below a prefix: `peel` has `peel.cold`, not `peel.line.rack`."""
    found = re.compile(rf"{re.escape(prefix)}\.[^.]+")
    ids = [id_ for id_ in ENGLISH.forms if found.fullmatch(id_)]
    fill: dict[str, Value] = {"layer": 1, "peel": say("peel.cold")}
    return tuple(
        say(id_, **{field: fill[field] for field in fields(id_)})
        for id_ in ids
        if fill.keys() >= set(fields(id_))
    )


def fields(id_: str) -> list[str]:
    """Return the names of a sentence's fields in order, the counted one first."""
    found = FIELD.findall(" ".join(ENGLISH.forms[id_]))
    return list(dict.fromkeys([*filter(None, [ENGLISH.counted.get(id_)]), *found]))


def values(id_: str, field: str) -> tuple[Value, ...]:
    """Return all values of a sentence's field; raises KeyError if no table has it."""
    if (override := HERE.get(f"{id_} {field}")) is not None:
        return override or below("catalog.kind")
    if ENGLISH.counted.get(id_) == field:
        return (1, 0, 2, 15)
    if field in TEXTS:
        return TEXTS[field]
    if field in WORDS:
        return below(WORDS[field])
    if field in LISTS:
        words = below(LISTS[field])
        return (words[:1], words[:2], *((word,) for word in words[1:]))
    if COUNTS.fullmatch(field):
        return (2, 15) if AT_LEAST_TWO.match(id_) else (1, 2, 15)
    raise KeyError(f"{id_}: what does {{{field}}} hold?")


def sentences(id_: str) -> Iterator[Message]:
    """Yield a sentence with its first values, then with each other value of each field."""
    values_of = {field: values(id_, field) for field in fields(id_)}
    first = {field: each[0] for field, each in values_of.items()}
    yield Message(id_, first)
    for field, each in values_of.items():
        for value in each[1:]:
            yield Message(id_, {**first, field: value})


def main(target: str) -> None:
    """Write every sentence of both languages."""
    english, spanish = Words("en"), Words("es")
    with Path(target).open("w", encoding="utf-8") as file:
        for id_ in sorted(ENGLISH.forms):
            file.write(f"{id_}\n")
            for each in dict.fromkeys((english.say(m), spanish.say(m)) for m in sentences(id_)):
                file.write(f"    {each[0]}\n    {each[1]}\n")


if __name__ == "__main__":
    main(sys.argv[1])
