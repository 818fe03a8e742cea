"""The sentences of the catalog room."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence
from kiosk.words.of_intake import INTAKE

FAULT_PARTS: dict[str, Sentence] = {
    "catalog.fault.found": N_("found {found}"),
    "catalog.fault.allowed": N_("allowed: {allowed}"),
    "catalog.fault.nearest": N_("did you mean {nearest}?"),
    "catalog.fault.read_as": N_("read as {read_as}"),
    "catalog.fault.could_be": N_("it could be {could_be}"),
    "catalog.fault.question": N_("question: {problem}"),
}

FILES: dict[str, Sentence] = {
    "catalog.file.binary": N_("this is no text file"),
    "catalog.file.empty": N_("the file is empty"),
    "catalog.file.ending": N_("a file with this ending is not read: it must end in .yaml"),
    "catalog.file.missing": N_("there is no such file"),
    "catalog.file.not_plain": N_("this is a folder or a device, not a file"),
    "catalog.file.not_utf8": N_("the text must be saved as UTF-8"),
    "catalog.file.too_large": N_("the file is larger than {megabytes} MB and was not read"),
    "catalog.file.unreadable": N_("the file cannot be read: {why}"),
    "catalog.folder.missing": N_("there is no such folder"),
    "catalog.yaml.alias": N_("anchors and aliases are not read here: write the value out"),
    "catalog.yaml.broken": N_("this cannot be read as YAML: {why}"),
    "catalog.yaml.deep": N_("nested deeper than {levels} levels"),
    "catalog.yaml.many": N_("more than {most} values in one file"),
    "catalog.yaml.second": N_("a second document begins here: one file holds one"),
    "catalog.yaml.tag": N_("tags are not read here"),
}

SHAPES: dict[str, Sentence] = {
    "catalog.kind.list": N_("a list"),
    "catalog.kind.map": N_("keys with values"),
    "catalog.kind.value": N_("a single value"),
    "catalog.asked.date": N_("a date is asked for"),
    "catalog.asked.choice": N_("this word is not known here"),
    "catalog.asked.flag": N_("yes or no is asked for, without quotes"),
    "catalog.asked.known": N_("nothing that could be read has this name"),
    "catalog.asked.list": N_("a list is asked for, this is {kind}"),
    "catalog.asked.map": N_("keys with values are asked for, this is {kind}"),
    "catalog.asked.one": N_("at least one is needed here"),
    "catalog.asked.quotes": N_("YAML takes this word for yes or no: put it in quotes"),
    "catalog.asked.something": N_("nothing is written here"),
    "catalog.asked.value": N_("a single value is asked for, this is {kind}"),
    "catalog.asked.whole": N_("a whole number is asked for"),
    "catalog.key.doubled": N_("this key stands twice, first in line {first}"),
    "catalog.key.missing": N_("this key is missing"),
    "catalog.key.no_word": N_("a key must be a word, this is {kind}"),
    "catalog.key.unknown": N_("this key is not known here"),
    "catalog.word.characters": N_("a name may not hold control characters"),
    "catalog.word.length": N_("a name has 1 to {most} characters"),
}

AMOUNTS: dict[str, Sentence] = {
    "catalog.amount.no_number": N_("a number with its unit is asked for"),
    "catalog.amount.no_rectangle": N_("two lengths with an x between them are asked for"),
    "catalog.amount.no_unit": N_("the unit is missing"),
    "catalog.amount.range": N_("this is out of range"),
    "catalog.amount.wrong_unit": N_("{unit} is not a unit for this"),
    "catalog.like.capacity": N_("J/kgK, as in 1250 J/kgK"),
    "catalog.like.conductivity": N_("W/mK, as in 0.19 W/mK"),
    "catalog.like.date": N_("year, month and day, as in 2026-03-01"),
    "catalog.like.duration": N_("s, min or h, as in 90 s, 30 min or 4 h"),
    "catalog.like.length": N_("in or mm, as in 2.5 in or 63 mm"),
    "catalog.like.rectangle": N_("width x height, as in 16 in x 20 in"),
    "catalog.like.seconds": N_("s, as in 15 s"),
    "catalog.like.temperature": N_("F or C, as in 300 F or 149 C"),
    "catalog.like.share": N_("%, as in 20 %"),
    "catalog.like.or_null": N_("{allowed}, or null"),
    "catalog.like.text": N_("any text"),
    "catalog.like.thickness": N_("mm, as in 0.35 mm"),
    "catalog.like.weight": N_("g/m2, as in 150 g/m2"),
    "catalog.range.duration": N_("more than 0, at most 24 h"),
    "catalog.range.length": N_("more than 0, at most 100 in or 2540 mm"),
    "catalog.range.screen": N_("5 in to 32 in"),
    "catalog.range.seconds": N_("0 s to 3600 s"),
    "catalog.range.some_seconds": N_("1 s to 3600 s"),
    "catalog.range.step": N_("0 F to 100 F, or 0 C to 55 C"),
    "catalog.range.temperature": N_("0 F to 600 F, or 0 C to 315 C"),
    "catalog.order": N_("{first} may not be above {second}"),
    "catalog.bands.hole": N_("nothing is said for {first} to {last}"),
    "catalog.bands.overlap": N_("two bands hold {degree}"),
}

SHEETS: dict[str, Sentence] = {
    "catalog.material.bare_no_press": N_(
        "a material without a carrier is pressed bare: carrier_off may not be no_press"
    ),
    "catalog.material.bare_tack": N_("a material without a carrier has no tack: write null"),
    "catalog.material.no_peel": N_("a material with a carrier needs its peels"),
    "catalog.recipe.many": N_("{count} stand here, at most {most} are allowed"),
    "catalog.recipe.name": N_("up to 30 letters, digits, blanks and hyphens are asked for"),
    "catalog.recipe.slip": N_("this looks like a slip of the pen"),
    "catalog.recipe.twin": N_("this name stands here twice"),
    "catalog.job.outside": N_("the roster must lie in the job's own folder"),
    "catalog.own.copy": N_("a copy of the record"),
    "catalog.own.events": N_("the events as JSON"),
    "catalog.own.garments": N_("a table of garments"),
    "catalog.own.other": N_(
        "{path} is something else, not {kind} written by this program: choose another name"
    ),
    "catalog.own.pick_page": N_("a pick list"),
    "catalog.own.picture": N_("a picture of a plan"),
    "catalog.own.plan_page": N_("a plan's page"),
    "catalog.own.report_page": N_("a report's page"),
    "catalog.own.tables": N_("a report's tables"),
    "catalog.own.there": N_("{path} exists, and {kind} replaces nothing: choose a new name"),
    "catalog.forget.changed": N_("{path} had names and is another file now: look into it"),
    "catalog.forget.moved": N_(
        "{path} had names and is not there: where it was moved or copied, delete it by hand"
    ),
    "catalog.forget.not_deleted": N_("{path} has names and cannot be deleted: {why}"),
    "catalog.forget.not_found": N_("not found: {path}. Its names are still to be deleted."),
    "catalog.forget.note_broken": N_(
        "{path} is damaged: pick lists with names that were written are not known any more"
    ),
    "catalog.forget.others": N_("not looked into, in {folder}: {files}"),
    "catalog.forget.twin": N_("{path} has a second name (a hard link): names are still in that"),
    "catalog.forget.unread": N_(
        "the names of {folder} could not be deleted: its files do not read"
    ),
    "catalog.forget.unwritten": N_("the names of {folder} were not deleted: {why}"),
    "catalog.job.unknown": N_("there is no job of this name"),
}

ROSTERS: dict[str, Sentence] = {
    "catalog.roster.all_capitals": N_(
        "is this name right? It is all capitals, and most others are not"
    ),
    "catalog.roster.bare_size": N_(
        "this order has youth sizes, and this one does not say youth or adult"
    ),
    "catalog.roster.broken": N_("this cannot be read as CSV: {why}"),
    "catalog.roster.control": N_("the cell holds a character that does not print"),
    "catalog.roster.date": N_("the sheet made a date of this: was {typed} typed?"),
    "catalog.roster.decimals": N_("the number has decimals: the spreadsheet may have changed it"),
    "catalog.roster.doubled": N_("two columns have this meaning"),
    "catalog.roster.error_value": N_("the sheet has an error here instead of a value"),
    "catalog.roster.formula": N_("the cell holds a formula: save the sheet with values"),
    "catalog.roster.full_width": N_(
        "is this name right? These letters have another width or form: {letters}"
    ),
    "catalog.roster.garbled": N_("the letters look garbled: save the sheet as UTF-8"),
    "catalog.roster.hidden_column": N_("this column is hidden in the sheet: is it to be used?"),
    "catalog.roster.hidden_rows": Plural(
        N_("row {rows} is hidden in the sheet: is it part of the order?"),
        N_("rows {rows} are hidden in the sheet: are they part of the order?"),
        "count",
    ),
    "catalog.roster.hidden_sheets": N_(
        "hidden sheets hold something and were left out: {names}. Is that right?"
    ),
    "catalog.roster.letters": N_("is this name right? It has signs that are no letters"),
    "catalog.roster.apostrophe": N_(
        "is the apostrophe in front only the spreadsheet's mark for text? Then take it out"
    ),
    "catalog.roster.line_twice": N_("this line id stands twice, first in line {first}"),
    "catalog.roster.long_line": N_("a line id has at most {most} characters"),
    "catalog.roster.long_name": N_("is this name right? It has more than {most} letters"),
    "catalog.roster.many": N_("more than {most} garments in one roster"),
    "catalog.roster.many_cells": N_(
        "the workbook has more than {most} cells: copy the roster into a new one"
    ),
    "catalog.roster.many_digits": N_("is this number right? It has more than {most} digits"),
    "catalog.roster.marks": N_(
        "two marks in this order mean the same: {here} here, {usual} in other names"
    ),
    "catalog.roster.mixed": N_(
        "is this name right? These letters are of another alphabet than the rest: {letters}"
    ),
    "catalog.roster.merged": N_("this cell is merged with its neighbour: does it say the same?"),
    "catalog.roster.more_cells": N_("the row has more cells than the header"),
    "catalog.roster.no_column": N_(
        "no column was taken for this: say in job.yaml which one it is, as in columns: {example}"
    ),
    "catalog.roster.no_digits": N_("is this number right? It is not all digits"),
    "catalog.roster.no_line": N_("the line id is missing here, and other rows have one"),
    "catalog.roster.no_name": N_("the name is missing: is the garment to have none?"),
    "catalog.roster.no_number": N_("the number is missing: is the garment to have none?"),
    "catalog.roster.no_rows": N_("the roster has a header and no garments"),
    "catalog.roster.no_size": N_("the size is missing"),
    "catalog.roster.no_text": N_("this is no CSV text: save the sheet as CSV"),
    "catalog.roster.no_value": N_(
        "a formula is here without its value: open the sheet, save it, and bring it again"
    ),
    "catalog.roster.number_format": N_("the sheet shows this number in the format {format}"),
    "catalog.roster.number_twice": N_("this number stands twice, first in line {first}"),
    "catalog.roster.small_letters": N_(
        "is this name right? It has small letters, and most others are all capitals"
    ),
    "catalog.roster.size": N_("this size is not known"),
    "catalog.roster.time": N_("the sheet made a time of this: what was typed?"),
    "catalog.roster.truth": N_(
        "the sheet made true or false of this, or somebody has this name: what was typed?"
    ),
    "catalog.roster.unknown_column": N_(
        "this column is not known: say in job.yaml which one it is, as in "
        "columns: {example}, or leave it out"
    ),
    "catalog.roster.wide": N_("more than {most} columns"),
    "catalog.roster.zero": N_("the sheet keeps this as a number: was 0 or 00 typed?"),
    "catalog.roster.zeros": N_("line {first} has {other}: are these two numbers?"),
}

CATALOG: dict[str, Sentence] = {
    **FAULT_PARTS,
    **FILES,
    **SHAPES,
    **AMOUNTS,
    **SHEETS,
    **ROSTERS,
    **INTAKE,
}
