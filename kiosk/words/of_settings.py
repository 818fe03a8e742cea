"""The sentences of the settings: what changed, what to mind, why not, what would do."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

SETTINGS: dict[str, Sentence] = {
    "settings.changed_temperature": N_("{piece} temperature {normal} {unit} -> {now} {unit}"),
    "settings.changed_final": N_("{piece} dwell {normal} s -> {now} s"),
    "settings.changed_tack": N_("{piece} tack {normal} s -> {now} s"),
    "settings.told_temperature": N_("{piece}: {now} °{unit} instead of {normal} °{unit}"),
    "settings.told_final": N_("{piece}: final press {now} s instead of {normal} s"),
    "settings.told_tack": N_("{piece}: tack {now} s instead of {normal} s"),
    "settings.piece": N_("{element}, layer {layer}"),
    "settings.warning.narrow_window": N_(
        "Few temperatures suit everything here: check that the press holds its setting"
    ),
    "settings.warning.no_fabric_margin": N_(
        "No margin is left below the fabric's limit: a supervisor must approve"
    ),
    "settings.warning.staged_peel": N_("Peel in stages: the hot ones first"),
    "settings.warning.temp_change_in_batch": N_(
        "The temperature changes between closings: press the whole lot, then change the setting"
    ),
    "settings.warning.peel_before_next_closing": N_(
        "A carrier must be peeled warm or cold before the next closing"
    ),
    "settings.warning.dye_caution": N_("The fabric's dye can move into the film: try one first"),
    "settings.refused": N_("Panel {panel} cannot be pressed: {limits} have no common point"),
    "settings.gap.temperature_f": N_("They are {gap} °F apart"),
    "settings.gap.dwell_s": N_("They are {gap} s apart"),
    "settings.gap.pressure_steps": N_("They are {gap} pressure steps apart"),
    "settings.change.material": N_("Use another material for {pieces}: {materials}"),
    "settings.change.swap": N_("Swap the layers: {layers}"),
    "settings.change.one_layer": N_("Press only one layer: {layers}"),
    "settings.change.closing": N_("Allow {closings} closings in the shop's policy"),
    "settings.change.staged_peel": N_("Allow staged peel in the shop's policy"),
    "settings.change.bare_tack": N_("Allow a short tack on bare film in the shop's policy"),
    "settings.change.fabric": N_("Use another fabric: {fabrics}"),
}
