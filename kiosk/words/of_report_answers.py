"""What a supervisor asks, and how a report answers."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

ANSWERS: dict[str, Sentence] = {
    "question.behind": N_("Which job is behind?"),
    "question.failed": N_("What failed most, and why?"),
    "question.material": N_("Which material?"),
    "question.slow": N_("Which step is slow?"),
    "question.drift": N_("Is the press drifting?"),
    "question.help": N_("Who needs help with what?"),
    "question.recheck": N_("What must be looked at again?"),
    "question.overridden": N_("What was overridden?"),
    "question.buy": N_("What is to buy?"),
    "question.tack": N_("Is the tack too long?"),
    "question.peels": N_("Are peels early?"),
    "question.changed": N_("What changed since yesterday?"),
    "answer.behind.late": N_("{job}: {minutes} min behind its plan, {left} of {of} still open."),
    "answer.behind.open": N_("None is behind its plan; {job} has {left} of {of} still open."),
    "answer.failed.some": N_(
        "{defect}, most often by {cause}: {count} of {of} defects on {made} garments."
    ),
    "answer.material.some": Plural(
        N_("{material}: {count} defect on {pressed} garments pressed with it."),
        N_("{material}: {count} defects on {pressed} garments pressed with it."),
        "count",
    ),
    "answer.material.none": N_("None: no defect names a material."),
    "answer.slow.some": N_(
        "{phases} ({recipe}): {median} s as the median of {n}, planned at most {slow} "
        "s; {minutes} min lost."
    ),
    "answer.slow.few": N_(
        "{phases} ({recipe}): {median} s as the median of only {n}, planned at most {slow} s."
    ),
    "answer.drift.failed": N_(
        "{press}: its last check FAILED, {last} °{unit} off its setting, at most "
        "±{most} allowed. Have it looked at."
    ),
    "answer.drift.drifting": N_(
        "{press} is drifting: from {first} to {last} °{unit} off its setting in {count} checks."
    ),
    "answer.drift.steady": N_("{press} is steady: {last} °{unit} off its setting, {count} checks."),
    "answer.drift.few": N_(
        "{press}: {last} °{unit} off its setting; {count} checks, a drift shows from {least} on."
    ),
    "answer.drift.none": N_("Not known: the press was never checked against its setting."),
    "answer.help.some": N_("{who}: {what}."),
    "answer.help.none": N_("Nobody more than others ({people})."),
    "answer.recheck.none": N_("Nothing: no check failed, no garment is marked."),
    "answer.overridden.none": N_("Nothing."),
    "answer.overridden.some": N_("{what}: {count} ({who}: {why})."),
    "answer.overridden.by_pin": N_("{what}: {count} (with the PIN)."),
    "answer.buy.none": N_("Nothing was scrapped; for the open jobs see kiosk plan."),
    "answer.tack.no_tack": N_("No job had a tack."),
    "answer.tack.too_long": N_(
        "Yes: {mean} s on average where {planned} s is set; {beyond} of {count} beyond the limit "
        "({source})."
    ),
    "answer.tack.right": N_(
        "No: {mean} s on average where {planned} s is set; {beyond} of {count} beyond the limit "
        "({source})."
    ),
    "answer.peels.none": N_("No peel has to wait."),
    "answer.peels.right": N_("No: none of {count} was early or late ({by})."),
    "answer.peels.some": N_(
        "{early} early and {late} late of {count} ({by}); most of them {peel} peels of {recipe}."
    ),
    "answer.peels.guess": N_(
        "{count} peeled by a guess, {before} before and {after} after what it says. A guess is no "
        "rule: none is counted early or late."
    ),
    "answer.changed.nothing_before": N_("The log knows of no working day before."),
    "answer.changed.none": N_("Nothing that the log shows."),
    "help.reading": N_("reading the number and size before heat"),
    "help.peel": N_("waiting for the peel"),
    "help.quick": N_("confirming only what is done"),
    "help.closing": N_("closing the press before saying so"),
    "help.opening": N_("leaving the press closed until the tone"),
    "help.laying": N_("laying pieces straight"),
    "help.pulling": N_("pulling the right pieces"),
    "help.sheet": N_("the cover sheet"),
    "change.setting": N_("{recipe} on {press}: {before} became {now}."),
    "change.file": N_("{file} {key}: {before} became {now}."),
    "change.people": N_("New at the press: {who}."),
    "change.first_pass": N_("First pass yield went from {before} % to {now} %, more than chance."),
    "change.pace": N_("{recipe}: a garment takes {now} s, it took {before} s."),
    "change.defect": N_("{defect} is new: {count}."),
    "answer.behind.none_open": Plural(
        N_("None: the one job is done."), N_("None: all {jobs} jobs are done."), "jobs"
    ),
    "answer.failed.none": Plural(
        N_("Nothing: no defect on {made} garment."),
        N_("Nothing: no defect on {made} garments."),
        "made",
    ),
    "answer.slow.none": Plural(
        N_("None: the one move keeps within its plan."),
        N_("None: all {moves} moves keep within their plan."),
        "moves",
    ),
    "answer.recheck.pull": Plural(
        N_(
            "{press} was found wrong: pull back {count} garment pressed since its last good"
            " check: {numbers}."
        ),
        N_(
            "{press} was found wrong: pull back the {count} garments pressed since its last"
            " good check: {numbers}."
        ),
        "count",
    ),
    "answer.recheck.marked": Plural(
        N_("{count} garment ended good with a mark on its heat: {numbers}."),
        N_("{count} garments ended good with a mark on their heat: {numbers}."),
        "count",
    ),
    "answer.buy.digits": Plural(
        N_("To replace {garments} scrapped garment: {digits}."),
        N_("To replace {garments} scrapped garments: {digits}."),
        "garments",
    ),
    "answer.buy.garments": Plural(
        N_("{garments} garment to replace, and its pieces."),
        N_("{garments} garments to replace, and their pieces."),
        "garments",
    ),
    "answer.tack.not_seen": Plural(
        N_("Not seen: nobody told when {count} tack opened. A switch on the press would show it."),
        N_("Not seen: nobody told when {count} tacks opened. A switch on the press would show it."),
        "count",
    ),
}
