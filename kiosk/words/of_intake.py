"""The sentences about rosters as a whole, and about codes, letters, packs and stock."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

INTAKE: dict[str, Sentence] = {
    "catalog.asked.layer": N_("a layer is asked for"),
    "catalog.asked.numbers": N_("numbers are asked for"),
    "catalog.asked.percent": N_("a share is asked for"),
    "catalog.asked.price": N_("a price above 0 is asked for, with at most two decimals"),
    "catalog.asked.season": N_("a season is asked for"),
    "catalog.code.no_code": N_("a season stands here without a code"),
    "catalog.code.no_season": N_("the code has no rule for this season"),
    "catalog.code.number": N_("{code} does not have this number ({source})"),
    "catalog.code.seasons": N_("the seasons must follow one another, and none overlap"),
    "catalog.code.together": N_("{code} does not have these together: {numbers} ({source})"),
    "catalog.sizes.open": N_("low, high or both are asked for"),
    "catalog.sizes.order": N_("low must not be above high"),
    "catalog.code.which_season": N_(
        "this code changed: which season is the order for? No number is checked without it"
    ),
    "catalog.letters.one": N_("one character is asked for"),
    "catalog.letters.twice": N_("{character} stands here twice"),
    "catalog.packs.kind": N_("a kit has a mix; a pack has of_one and characters; nothing has both"),
    "catalog.packs.kits": N_("more than {most} kits"),
    "catalog.received.over": N_("{size}: {received} received, {ordered} ordered, {count} over"),
    "catalog.received.short": N_("{size}: {received} received, {ordered} ordered, {count} short"),
    "catalog.roster.capitals": Plural(
        N_("{count} line has small letters, and the letter set has capitals only"),
        N_("{count} lines have small letters, and the letter set has capitals only"),
        "count",
    ),
    "catalog.roster.no_header": N_(
        "no heading is known: the first row names the columns, or say in job.yaml which is which, "
        "as in columns: {example}"
    ),
    "catalog.roster.no_glyph": N_(
        "the face lacks {letters}: width not known. Draw the name by hand, or measure it"
    ),
    "catalog.roster.other_face": Plural(
        N_("{face} lacks {letters}: its width is by {other}. Is that near enough?"),
        N_("{face} lacks {letters}: their widths are by {other}. Is that near enough?"),
        "count",
    ),
    "catalog.roster.no_letter": N_("the letter set lacks {letters}"),
    "catalog.roster.no_library": N_(
        "a workbook is read by an extra part that is not installed: install it with "
        "pip install 'press-station-kiosk[xlsx]', or save the sheet as CSV"
    ),
    "catalog.roster.no_workbook": N_("this cannot be read as a workbook: {why}"),
    "catalog.roster.old_workbook": N_(
        "the workbook is of an old kind or has a password: save it as .xlsx without one, or as CSV"
    ),
    "catalog.roster.sheets": N_(
        "{count} sheets of the workbook hold something: is the first one the roster?"
    ),
    "catalog.roster.title": N_("are the rows above the header only a title? They are left out"),
}
