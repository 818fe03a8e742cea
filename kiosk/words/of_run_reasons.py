"""Why the run room turns a command away: what is wrong, and what would be right."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

WHILE: dict[str, Sentence] = {
    "refuse.place.where": N_("Say where it lies: lifted, or on the pad"),
    "refuse.place.not_cooling": N_("Number {number} waits for no peel"),
    "refuse.touch.reading": N_("No garment reads that: 0 to 250 °C, 32 to 482 °F"),
    "refuse.learning.nothing": N_("Nothing was learned of that yet"),
    "refuse.while.hands": N_(
        "Not now: a garment is in your hands. Finish it, put it aside or put the job back first."
    ),
    "refuse.while.heat": N_("Not while the press is closed. Wait for the tone."),
    "refuse.while.over": N_("The time is up. Open the press first."),
    "refuse.while.unasked": N_("The press is closed and nothing asked for it. Open it first."),
    "refuse.while.ask": N_("First read what the screen asks for, and enter it."),
    "refuse.while.ask_closed": N_("First answer: was the press closed, or not?"),
    "refuse.while.open_first": N_("Open the press first, then say that it is open."),
    "refuse.while.held": N_("On hold. Restart first."),
    "refuse.while.setting": N_("First set the press, and enter what it shows."),
    "refuse.while.verify": N_("First check the press: fill in the card."),
    "refuse.while.trial": N_("First try the setting, or have the supervisor let it pass."),
    "refuse.trial.not_asked": N_("No trial is asked for now."),
    "refuse.while.lot": N_("The lot is held. First look at what holds it."),
    "refuse.while.done": N_("No garment of this job is left to load."),
    "refuse.while.idle": N_("No job is at the press. Choose one first."),
    "refuse.while.off": N_("Nobody has signed on. Sign on first."),
    "refuse.while.new": N_("The station has not started yet."),
}

FORWARD: dict[str, Sentence] = {
    "refuse.forward.hot": N_("Nothing to confirm yet: the press is closed and no peel is due."),
    "refuse.forward.nobody": N_("Nothing to confirm yet. Touch a garment to choose it."),
    "refuse.forward.changed": N_("The bar changed while you pressed. Read it and press again."),
    "refuse.forward.too_soon": N_("Too soon after the bar changed. Read it and press again."),
    "refuse.second_final": N_(
        "This garment had its final press. Only a supervisor can allow another one."
    ),
}

CUES: dict[str, Sentence] = {
    "refuse.key.taken": N_("That key is another one's already: {role}."),
}

PRESS: dict[str, Sentence] = {
    "refuse.opened.already": N_("The press is open already as far as the station knows."),
    "refuse.closed.not_asked": N_("Nobody asked whether the press was closed."),
    "refuse.never_closed.nothing": N_(
        "No closing can be unsaid now: take back what came after it first."
    ),
    "refuse.pressed.nothing": N_("No garment at the press is waiting for a closing."),
    "refuse.pressed.seconds": N_("Enter 1 to {most} seconds."),
    "refuse.press_closed.already": N_("The press is closed already."),
    "refuse.press_opened.already": N_("The press is open already."),
}

RESULTS: dict[str, Sentence] = {
    "refuse.inspect.no_ticket": N_("This job has no such garment."),
    "refuse.inspect.stage": N_("A result is good, accepted, rework or scrap."),
    "refuse.inspect.defect": N_("Say what is wrong with it: choose a class of defect."),
    "refuse.inspect.cause": N_("Choose a cause from the list, or leave it open."),
    "refuse.inspect.piece": N_("The plan has no piece {piece}. Choose one of its pieces."),
    "refuse.inspect.hot": N_("This garment is under the press. Wait until it is open."),
    "refuse.inspect.not_here": N_("Number {number} is not at the press, on the rack or aside."),
    "refuse.inspect.rework_already": N_(
        "It is in rework already. Say good, accepted or scrap, or ask for a re-press."
    ),
    "refuse.inspect.not_pressed": N_(
        "Number {number} has not had all its closings. It can only be scrapped or go on."
    ),
}

DETOURS: dict[str, Sentence] = {
    "refuse.reason": N_("Give a reason."),
    "refuse.back.nothing": N_("There is no tap to take back."),
    "refuse.back.replaced": N_("The garment that replaces it has been begun already."),
    "refuse.back.next_pass": N_("The same garment has been begun in its next pass already."),
    "refuse.skip.nothing": N_("Only the pre-press that comes next can be left out."),
    "refuse.aside.nothing": N_("No garment is at the press."),
    "refuse.aside.pressed": N_("Number {number} has had its final press: give it a result."),
    "refuse.aside.last": N_("Number {number} is the last one that can be loaded now."),
}

JOBS: dict[str, Sentence] = {
    "refuse.no_job": N_("No job is at the press. Choose one first."),
    "refuse.sign_on.initials": N_("Sign on with your initials."),
    "refuse.start.simulated": N_("This log holds a simulation. Choose another log for real work."),
    "refuse.start.real": N_("This log holds real work. Choose another log for a simulation."),
    "refuse.job.done": N_("Job {job} is done. For more garments make a new job."),
    "refuse.job.empty": N_("Job {job} has no garments. Fill its roster first."),
    "refuse.job.same_line": N_("Job {job} has two garments with the same line of the roster."),
    "refuse.job.plan": N_(
        "The plan of job {job} does not say when each pass is done. Plan it anew."
    ),
    "refuse.leave.rack": Plural(
        one=N_("{tickets} garment is still cooling. Peel it first."),
        many=N_("{tickets} garments are still cooling. Peel them first."),
        by="tickets",
    ),
    "refuse.leave.at_press": N_(
        "Number {number} is at the press with its heat done. Finish it first."
    ),
    "refuse.setting.not_asked": N_("No closing comes next that needs a setting."),
    "refuse.read.not_asked": N_("Nothing is asked."),
}

SUPERVISOR: dict[str, Sentence] = {
    "refuse.supervisor": N_("Say which supervisor decides."),
    "refuse.row.hot": N_(
        "Line {line} is under the press now. It is stopped once the press is open."
    ),
    "refuse.repress.not_pressed": N_(
        "Number {number} is not in rework after a final press: nothing to press again."
    ),
    "refuse.repress.heat": N_(
        "Number {number} cannot be pressed again: it would be more heat than allowed in all for "
        "{owners}."
    ),
    "heat.owner.fabric": N_("the fabric"),
    "refuse.rule.stage": N_(
        "A ticket can be sent to waiting, good, accepted, rework, scrap or void."
    ),
    "refuse.rule.not_waiting": N_("Number {number} waits for no decision."),
    "refuse.rule.pressed": N_(
        "Number {number} has had its final press. To press it again allow a re-press."
    ),
}

RULES: dict[str, Sentence] = {
    "refuse.verify.not_asked": N_("No check of the press is asked for now."),
    "refuse.verify.incomplete": N_("Enter five readings and how all four strips of paper held."),
    "refuse.verify.reading": N_("A reading is more than 0 and at most 600 degrees."),
    "refuse.override.nothing": N_("Nothing holds the work that could be let pass."),
    "refuse.override.required": N_("The shop lets nobody pass this, not even a supervisor."),
    "refuse.first.not_asked": N_("No first garment waits to be approved."),
    "refuse.first.not_good": N_("Number {number} has no good result yet. Mend or scrap it first."),
    "refuse.first.faults": N_("A garment with a fault cannot be approved."),
    "refuse.first.supervisor": N_("Only a supervisor may approve this garment."),
    "refuse.first.another": N_("{operator} pressed it: somebody else has to approve it."),
    "refuse.pin.wait": Plural(
        N_("Too many wrong PINs. Wait {seconds} second."),
        N_("Too many wrong PINs. Wait {seconds} seconds."),
        "seconds",
    ),
}

CLASSES: dict[str, Sentence] = {
    "defect.lifted_edge": N_("lifted edge"),
    "defect.off_centre": N_("off centre"),
    "defect.wrong_piece": N_("wrong piece"),
    "defect.uneven_border": N_("uneven border"),
    "defect.marks": N_("marks"),
    "defect.scorch": N_("scorch"),
    "defect.dye_in_film": N_("dye in the film"),
    "defect.stretched": N_("stretched"),
    "defect.wrong_size": N_("wrong size"),
    "cause.laid_wrong": N_("laid wrong"),
    "cause.wrong_pull": N_("wrong pieces pulled"),
    "cause.peeled_early": N_("peeled early"),
    "cause.peeled_late": N_("peeled late"),
    "cause.sheet_forgotten": N_("cover sheet forgotten"),
    "cause.over_run": N_("pressed too long"),
    "cause.short_press": N_("pressed too short"),
    "cause.press_setting": N_("setting of the press"),
    "cause.fabric": N_("fabric"),
    "cause.material": N_("material"),
    "cause.not_known": N_("not known"),
}

RUN_REASONS: dict[str, Sentence] = {
    **WHILE,
    **FORWARD,
    **PRESS,
    **CUES,
    **RESULTS,
    **DETOURS,
    **JOBS,
    **SUPERVISOR,
    **RULES,
    **CLASSES,
}
"""Sentences for the ids `refuse.*` of kiosk.run, and the words of its classes."""
