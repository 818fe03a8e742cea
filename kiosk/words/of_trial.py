"""The sentences of a trial before a lot."""

from __future__ import annotations

from kiosk.words.marks import N_, Sentence

TRIAL: dict[str, Sentence] = {
    "page.trial": N_("This setting rests on a guess"),
    "page.trial.guessed": N_("Nobody has looked up or tried: {owners}, at {setting}."),
    "page.trial.what": N_("Press it once, peel it, look it over, stretch it. Then the lot."),
    "page.trial.piece": N_("Try a piece of the same cloth"),
    "page.trial.piece_line": N_("its heat counts for no garment"),
    "page.trial.first": N_("Try the first garment"),
    "page.trial.first_line": N_("the lot waits for its card"),
    "page.trial.passed": N_("The trial passed"),
    "page.trial.no_faults": N_("It peeled clean, holds, springs back, has no marks."),
    "page.trial.passed_line": N_(
        "The shop's files will name this trial as the source. It says nothing of washing."
    ),
    "page.trial.failed": N_("The trial failed"),
    "page.trial.faults": N_("Found: {faults}."),
    "page.trial.failed_line": N_(
        "Do not press the lot like this. Read the material's own sheet and ask the supervisor."
    ),
    "page.trial.write": N_("Write it down as {operator}"),
    "page.lot.look.peel": N_("The peel"),
    "page.lot.how.peel": N_("Look at carrier and film: did all of the film stay on the cloth?"),
    "page.lot.free.peel": N_("It peeled clean"),
    "page.lot.found.peel": N_("Film came off with the carrier"),
    "trial.piece": N_("A piece of cloth"),
    "trial.stop": N_("Stop the trial"),
    "trial.looked_at": N_("peel, edges, stretch, marks"),
    "work.trial": N_("TRIAL"),
    "station.trial_not_written": N_(
        "{key}: the trial is recorded, its file could not be written ({why}). The next start "
        "tries again."
    ),
    "station.trial_file_broken": N_("the file has faults"),
    "station.trial_gone": N_("{key}: its file could not take the trial. Write it there by hand."),
}
