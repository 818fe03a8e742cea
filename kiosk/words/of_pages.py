"""The sentences of the station's plain pages."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

PAGES: dict[str, Sentence] = {
    "language.en": N_("English"),
    "language.es": N_("Español"),
    "page.display": N_("Screen and units"),
    "page.display_line": N_("Kept for whoever is signed on; nobody else's screen changes."),
    "page.display_what": N_("°F or °C, inches or millimetres"),
    "page.display.celsius": N_("°C"),
    "page.display.celsius_line": N_("beside the scale that the press shows"),
    "page.display.fahrenheit": N_("°F"),
    "page.display.fahrenheit_line": N_("beside the scale that the press shows"),
    "page.display.inches": N_("Inches"),
    "page.display.inches_line": N_("on the drawing, in parts of a ruler"),
    "page.display.millimetres": N_("Millimetres"),
    "page.display.millimetres_line": N_("on the drawing"),
    "page.display.still": N_("Less motion"),
    "page.display.still_line": N_("nothing moves by itself but the clock"),
    "page.display.moving": N_("All motion"),
    "page.display.moving_line": N_("drawings show how it is done"),
    "page.back": N_("back"),
    "page.more": N_("more"),
    "page.erase": N_("erase"),
    "page.supervisor": N_("Supervisor"),
    "page.report": N_("This shift"),
    "page.report_none": N_("Nobody has signed on yet."),
    "page.report_next": N_("Go on"),
    "page.choose_pin": N_("Choose the supervisor's PIN"),
    "page.choose_pin_line": N_("4 to 8 digits, asked for before overrides and before leaving."),
    "page.choose_pin_main": N_("Go on with this PIN"),
    "page.repeat_pin": N_("Enter the PIN once more"),
    "page.repeat_pin_main": N_("Keep this PIN"),
    "page.pin": N_("Supervisor's PIN"),
    "page.pin_main": N_("Enter"),
    "page.sign_on": N_("Who is at the press?"),
    "page.sign_on_line": N_("Choose your initials."),
    "page.new_initials": N_("New here"),
    "page.initials": N_("Your initials"),
    "page.initials_main": N_("This is me"),
    "page.jobs": N_("Which job?"),
    "page.no_jobs": N_("There is no job folder in {folder}."),
    "page.job_new": Plural(N_("{count} garment"), N_("{count} garments"), "count"),
    "page.job_open": N_("begun: {ended} of {of} done"),
    "page.job_due": N_("due {day}"),
    "page.job_finished": N_("done here before"),
    "page.job_faulty": Plural(
        N_("{count} fault: touch to read"), N_("{count} faults: touch to read"), "count"
    ),
    "page.hand_over": N_("hand over"),
    "page.faults": N_("This job cannot be pressed yet"),
    "page.faults_line": N_("Mend this in the files, then open the job again:"),
    "page.conflict": N_("These limits have nothing in common: {limits}"),
    "page.set_up_what": Plural(
        N_("{count} garment, {recipe}"), N_("{count} garments, {recipe}"), "count"
    ),
    "page.set_up_setting": N_("Set {press} for {panel}: {temperature} °{unit}, {low} to {high}"),
    "page.set_up_main": N_("Read the cautions, start"),
    "page.set_up_again": N_("Read the cautions, go on"),
    "page.set_up_supervisor": N_("Start with the supervisor's PIN"),
    "page.take_over": N_("take it over"),
    "page.questions": Plural(
        N_("{count} question about the roster"), N_("{count} questions about the roster"), "count"
    ),
    "page.questions_line": N_("Ask the customer or the supervisor before a garment is touched:"),
    "page.questions_more": Plural(
        N_("{count} more question: kiosk check lists them all"),
        N_("{count} more questions: kiosk check lists them all"),
        "count",
    ),
    "page.columns": N_("Is the roster read rightly?"),
    "page.columns_taken": N_("{header}: taken as {field}"),
    "page.columns_left": N_("not used: {headers}"),
    "page.columns_row": N_("line {line}: number {number}, size {size}, name {name}"),
    "page.columns_main": N_("The columns are right"),
    "page.field.line": N_("line"),
    "page.field.size": N_("size"),
    "page.field.name": N_("name"),
    "page.field.number": N_("number"),
    "page.field.set": N_("set"),
    "page.warning.narrow_window": N_("Narrow window: the press must hold its temperature."),
    "page.warning.no_fabric_margin": N_("No margin to the fabric's limit: a supervisor decides."),
    "page.warning.staged_peel": N_("Peel in two stages: hot ones first."),
    "page.warning.temp_change_in_batch": N_("The setting changes within the job."),
    "page.warning.peel_before_next_closing": N_("Peel before the next closing."),
    "page.warning.dye_caution": N_("The cloth's dye may move into the film."),
    "page.put_aside": N_("Put this garment aside"),
    "page.leave_job": N_("Put the job back"),
    "page.skip": N_("Leave out the pre-press"),
    "page.skip_title": N_("Why no pre-press?"),
    "page.skip.dry": N_("pressed dry already"),
    "page.skip.supervisor": N_("the supervisor said so"),
    "page.aside_title": N_("Why aside?"),
    "page.aside.not_here": N_("not here"),
    "page.aside.wrong_size": N_("wrong size in the pile"),
    "page.aside.damaged": N_("damaged"),
    "page.aside.later": N_("later"),
    "page.done": N_("All garments done"),
    "page.nearly_done": N_("Nothing left to load"),
    "page.done_counts": N_("{good} good, {accepted} accepted, {scrap} scrap"),
    "page.done_open": Plural(
        N_("{count} still open: {numbers}"), N_("{count} still open: {numbers}"), "count"
    ),
    "page.done_main": N_("Put the job away: next job"),
    "page.look_at": N_("Number {number}"),
    "page.decide": Plural(
        N_("{count} garment to decide"), N_("{count} garments to decide"), "count"
    ),
    "page.nothing_to_decide": N_("Nothing waits for a decision."),
    "page.sign_off": N_("Sign {operator} off"),
    "page.sign_off_line": N_("grouped moves: fewer taps a garment"),
    "page.leave": N_("Leave the kiosk"),
    "page.leave_line": N_("ends the program"),
    "page.rule_good": N_("Good"),
    "page.rule_scrap": N_("Scrap: make it again"),
    "page.rule_waiting": N_("Back into the queue"),
    "page.press_again": N_("Press once more"),
    "page.reason": N_("For what reason?"),
    "page.reason.relaid": N_("pieces laid anew"),
    "page.reason.short": N_("pressed too short"),
    "page.reason.roster": N_("the roster was put right"),
    "page.reason.agreed": N_("agreed with the customer"),
    "page.reason.looked_over": N_("looked over and found good"),
    "page.reason.other": N_("another reason"),
    "page.heat": N_("heat"),
    "page.heat_title": N_("Heat, {panel}"),
    "page.heat_next": N_("Next: {panel}"),
    "caution.claim": N_("In a folder that is only synced, two stations can start one job."),
    "stage.waiting": N_("waiting"),
    "stage.at_press": N_("at the press"),
    "stage.cooling": N_("cooling"),
    "stage.unknown": N_("outcome unknown"),
    "stage.good": N_("good"),
    "stage.accepted": N_("accepted"),
    "stage.rework": N_("to be mended"),
    "stage.scrap": N_("scrap"),
    "stage.stopped": N_("stopped: its roster row changed"),
    "stage.void": N_("void"),
    "page.learning": N_("What cooling has taught"),
    "learning.title": N_("What cooling has taught"),
    "learning.line": N_("How long garments here take to cool, in percent of what the model says."),
    "learning.lifted.learned": N_("Lifted: {percent} %, range {low} to {high} %, learned here"),
    "learning.lifted.assumed": N_("Lifted: {percent} %, range {low} to {high} %, nothing learned"),
    "learning.on_pad.learned": N_("On the pad: {percent} %, range {low} to {high} %, learned here"),
    "learning.on_pad.assumed": N_(
        "On the pad: {percent} %, range {low} to {high} %, nothing learned"
    ),
    "learning.lifted.at_least": N_("Lifted: at least {low} %, seen from one side only"),
    "learning.on_pad.at_least": N_("On the pad: at least {low} %, seen from one side only"),
    "learning.nothing": N_("No lesson yet."),
    "learning.way.lifted": N_("lifted"),
    "learning.way.on_pad": N_("on the pad"),
    "learning.known": N_("{percent} %, {low} to {high} %"),
    "learning.known_at_least": N_("at least {low} %"),
    "learning.of.good_peel": N_(
        "{at} good peel, {way}, at {seen} s for the model's {ready} s: {known}"
    ),
    "learning.of.lifted_edge": N_(
        "{at} lifted edge, {way}, at {seen} s for the model's {ready} s: {known}"
    ),
    "learning.of.touch": N_("{at} touched, {way}, at {seen} s for the model's {ready} s: {known}"),
    "learning.of.reading": N_(
        "{at} measured, {way}, at {seen} s for the model's {ready} s: {known}"
    ),
    "learning.reset_done": N_("{at} forgotten: {way}"),
    "learning.reset.lifted": N_("Forget: lifted"),
    "learning.reset.on_pad": N_("Forget: on the pad"),
    "learning.reset_line": N_("as before the first lesson; the record keeps it"),
    "station.noted": N_("Noted"),
    "station.read_again": N_(
        "Number {number}: read {read}, expected {low} to {high}. Read it again."
    ),
    "station.wrong_read": N_("{read} is not what the ticket says. No heat until they agree."),
    "station.not_recorded": Plural(
        N_("NOT RECORDED: {count} event. No new garment until it is written."),
        N_("NOT RECORDED: {count} events. No new garment until they are written."),
        "count",
    ),
    "station.finish.own": N_("done {first} to {last}, by {count} garments of this shop"),
    "station.finish.header": N_("done {first}–{last}"),
    "station.finish.plain": N_("done {first} to {last} (typical handling times)"),
    "station.internal": N_("Something went wrong inside ({what}). The clock runs on."),
    "station.battery": N_("Battery at {percent} %: plug the tablet in."),
    "station.pin_short": N_("A PIN has at least 4 digits."),
    "station.pin_differs": N_("The two PINs differ. Choose again."),
    "station.pin_not_kept": N_("The PIN could not be kept: {why}"),
    "station.pin_broken": N_(
        "The PIN file is damaged, no PIN fits. Delete the file supervisor-pin beside the record,"
        " start again, choose a new PIN."
    ),
    "station.recipes_kept_broken": N_(
        "{path} is damaged: what changed in the recipes cannot be listed. It is written anew."
    ),
    "station.pin_wrong": N_("That is not the PIN."),
    "station.cannot_claim": N_("The job's folder cannot be written: {why}"),
    "station.claimed_by_copy": N_(
        "Another tablet has a copy of this record and works on this job. Use one of the two; "
        "a supervisor can take the job over."
    ),
    "station.bad_events": N_(
        "Part of the record cannot be read: what it held is missing here. "
        "Make a copy of the record and have the disk looked at."
    ),
    "station.rotten": N_(
        "Event {seq} of the record has gone bad on the disk. Work can go on. "
        "Make a copy of the record and have the disk looked at."
    ),
    "station.claimed": N_("{station} works on this job. A supervisor can take it over."),
}
