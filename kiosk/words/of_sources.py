"""What is said of where a number comes from."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

SOURCES: dict[str, Sentence] = {
    "source.estimate": N_("estimate"),
    "source.guess": N_("guess"),
    "source.supplier_sheet": N_("supplier's sheet"),
    "source.supplier_sheet.title": N_("supplier's sheet “{title}”"),
    "source.supplier_sheet.date": N_("supplier's sheet of {date}"),
    "source.supplier_sheet.title.date": N_("supplier's sheet “{title}” of {date}"),
    "source.shop_trial": N_("shop trial, not dated"),
    "source.shop_trial.date": N_("shop trial of {date}"),
    "source.shop_trial.initials": N_("shop trial by {initials}, not dated"),
    "source.shop_trial.date.initials": N_("shop trial of {date} by {initials}"),
    "source.published": N_("published, work not named"),
    "source.published.work": N_("published in “{work}”"),
    "source.published.edition": N_("published, edition {edition}, work not named"),
    "source.published.work.edition": N_("published in “{work}”, {edition}"),
    "source.told": N_("{source}: {owners}"),
    "source.of_keys": N_("{owner} ({keys})"),
    "source.guesses": N_("Guesses, not tried: {owners}"),
}
