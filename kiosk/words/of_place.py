"""The sentences about sizes and places on the garment."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

PLACE: dict[str, Sentence] = {
    "plan.place.name_too_wide": N_(
        "line {line}, {panel}: the name stays {inches} in ({inches_mm} mm) wide, narrowed and "
        "{height} in ({height_mm} mm) high; there is room for {most} in ({most_mm} mm)"
    ),
    "plan.place.too_wide": N_(
        "line {line}, {panel}: {element} stays {inches} in ({inches_mm} mm) wide, narrowed; "
        "there is room for {most} in ({most_mm} mm)"
    ),
    "plan.place.too_tall": N_(
        "{panel}: {element} takes {inches} in ({inches_mm} mm), the platen has {most} in "
        "({most_mm} mm) that press evenly"
    ),
    "plan.place.parts": N_(
        "{panel}: too long for the platen, pressed in {count} parts, one after the other"
    ),
    "plan.place.part": N_(
        "{panel}, {size}, part {nth} of {count}: {elements}, the seam at {ruler} in "
        "({ruler_mm} mm) on the ruler"
    ),
    "plan.place.part_over": N_(
        "{panel}, {size}, part {nth} of {count}: {elements}, the seam {ruler} in "
        "({ruler_mm} mm) over the platen's edge"
    ),
    "place.ruler_on": N_("at {length} on the ruler"),
    "place.ruler_over": N_("{length} over the platen's edge"),
    "plan.size.low": N_(
        "{panel}, {size}: {element} is {inches} in ({inches_mm} mm) high {counted}; {code} asks "
        "for at least {limit} in ({limit_mm} mm) ({source})"
    ),
    "plan.size.high": N_(
        "{panel}, {size}: {element} is {inches} in ({inches_mm} mm) high {counted}; {code} allows "
        "at most {limit} in ({limit_mm} mm) ({source})"
    ),
    "plan.size.border_counted": N_("with its border"),
    "plan.size.border_left_out": N_("without its border"),
    "size_class.youth": N_("youth"),
    "size_class.adult": N_("adult"),
}
