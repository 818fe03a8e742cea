"""The forward bar, short because it is shown huge, and the questions before heat."""

from __future__ import annotations

from kiosk.words.marks import N_, Plural, Sentence

_CLOSE: dict[str, Sentence] = {
    "bar.close.load": N_("Loaded and flat: close for {seconds} s"),
    "bar.close.load_sheet": N_("Loaded, sheet on: close for {seconds} s"),
    "bar.close.load_lay": N_("Loaded, laid straight: close for {seconds} s"),
    "bar.close.load_lay_sheet": N_("Loaded, laid, sheet on: close for {seconds} s"),
    "bar.close.load_lower": N_("Loaded, laid: close for a {seconds} s tack"),
    "bar.close.load_lower_sheet": N_("Loaded, laid, sheet on: tack {seconds} s"),
    "bar.close.move": N_("Moved and flat: close for {seconds} s"),
    "bar.close.move_sheet": N_("Moved, sheet on: close for {seconds} s"),
    "bar.close.move_lay": N_("Moved, laid straight: close for {seconds} s"),
    "bar.close.move_lay_sheet": N_("Moved, laid, sheet on: close for {seconds} s"),
    "bar.close.move_lower": N_("Moved, laid: close for a {seconds} s tack"),
    "bar.close.move_lower_sheet": N_("Moved, laid, sheet on: tack {seconds} s"),
    "bar.close.lay": N_("Laid and straight: close for {seconds} s"),
    "bar.close.lay_sheet": N_("Laid, sheet on: close for {seconds} s"),
    "bar.close.lower": N_("Laid and straight: close for a {seconds} s tack"),
    "bar.close.lower_sheet": N_("Laid, sheet on: close for a {seconds} s tack"),
    "bar.close.next": N_("Even all round: close for a {seconds} s tack"),
    "bar.close.next_sheet": N_("Even, sheet on: close for a {seconds} s tack"),
    "bar.close.top": N_("Even all round: close for a {seconds} s tack"),
    "bar.close.top_sheet": N_("Even, sheet on: close for a {seconds} s tack"),
    "bar.close.rest": N_("Laid and straight: close for {seconds} s"),
    "bar.close.rest_sheet": N_("Laid, sheet on: close for {seconds} s"),
    "bar.close.sheet": N_("Sheet on: close for {seconds} s"),
    "bar.close.carrier": Plural(
        N_("Carrier off: close for {seconds} s"), N_("Carriers off: close for {seconds} s"), "count"
    ),
    "bar.close.carrier_sheet": Plural(
        N_("Carrier off, sheet on: close for {seconds} s"),
        N_("Carriers off, sheet on: close for {seconds} s"),
        "count",
    ),
    "bar.close.carrier_next": Plural(
        N_("Carrier off, next laid, even: close"),
        N_("Carriers off, next laid, even: close"),
        "count",
    ),
    "bar.close.carrier_next_sheet": Plural(
        N_("Carrier off, next laid, sheet on: close"),
        N_("Carriers off, next laid, sheet on: close"),
        "count",
    ),
    "bar.close.carrier_top": Plural(
        N_("Carrier off, top laid, even: close"), N_("Carriers off, top laid, even: close"), "count"
    ),
    "bar.close.carrier_top_sheet": Plural(
        N_("Carrier off, top laid, sheet on: close"),
        N_("Carriers off, top laid, sheet on: close"),
        "count",
    ),
    "bar.close.carrier_rest": Plural(
        N_("Carrier off, rest laid: close for {seconds} s"),
        N_("Carriers off, rest laid: close for {seconds} s"),
        "count",
    ),
    "bar.close.carrier_rest_sheet": Plural(
        N_("Carrier off, rest laid, sheet on: close"),
        N_("Carriers off, rest laid, sheet on: close"),
        "count",
    ),
    "bar.close.as_before": N_("All as it was: close for {seconds} s"),
    "bar.close.rack_loaded": N_("{racked} on the rack, {number} loaded: close"),
    "bar.close.rack_loaded_sheet": N_("{racked} racked, {number} loaded, sheet on: close"),
    "bar.close.rack_laid": N_("{racked} on the rack, {number} laid: close"),
    "bar.close.rack_laid_sheet": N_("{racked} racked, {number} laid, sheet on: close"),
    "bar.close.peel_loaded": N_("{racked} peeled, racked, {number} loaded: close"),
    "bar.close.peel_loaded_sheet": N_("{racked} peeled, racked, {number}, sheet: close"),
    "bar.close.peel_laid": N_("{racked} peeled, racked, {number} laid: close"),
    "bar.close.peel_laid_sheet": N_("{racked} peeled, racked, {number}, sheet: close"),
}

_CONFIRM: dict[str, Sentence] = {
    "bar.confirm.load": N_("Loaded and flat: {next} next"),
    "bar.confirm.move": N_("Moved and flat: {next} next"),
    "bar.confirm.lay": N_("Laid and straight: {next} next"),
    "bar.confirm.top": N_("Even all round: {next} next"),
    "bar.confirm.carrier": Plural(
        N_("Carrier off: {next} next"), N_("Carriers off: {next} next"), "count"
    ),
    "bar.confirm.sheet": N_("Sheet on: {next} next"),
    "bar.confirm.peel": N_("Peeled: {next} next"),
    "next.load": N_("load"),
    "next.lay": N_("lay"),
    "next.top": N_("lay the top"),
    "next.carrier": N_("carrier"),
    "next.sheet": N_("sheet"),
    "next.peel": N_("peel"),
    "next.rack": N_("rack"),
    "next.inspect": N_("inspect"),
    "bar.finish": N_("Good: next garment"),
    "bar.finish.again": N_("Good: same garment, {panel}"),
    "bar.finish.again_part": N_("Good: same garment, {elements} next"),
    "bar.finish.rack": N_("Good: then the rack"),
    "bar.finish.last": N_("Good: the last one"),
    "bar.finish_peeled": N_("Peeled, good: next garment"),
    "bar.finish_peeled.again": N_("Peeled, good: same, {panel}"),
    "bar.finish_peeled.again_part": N_("Peeled, good: same, {elements} next"),
    "bar.finish_peeled.rack": N_("Peeled, good: then the rack"),
    "bar.finish_peeled.last": N_("Peeled, good: the last one"),
    "bar.peeled": N_("Number {number}: peeled, good"),
    "bar.peeled_stage": N_("Number {number}: peeled {peel}"),
    "bar.opened": N_("Opened"),
    "bar.press_is_open": N_("The press is open"),
    "bar.go_on": N_("Whole and in place: it goes on"),
    "bar.go_on.rack": N_("Whole: it goes flat on the rack"),
    "bar.restart": N_("Restart"),
}

_REFUSING: dict[str, Sentence] = {
    "bar.then.lay": Plural(N_("Then: lay the piece"), N_("Then: lay the pieces"), "count"),
    "bar.then.lower": Plural(
        N_("Then: lay the lower piece"), N_("Then: lay the lower pieces"), "count"
    ),
    "bar.then.carriers": Plural(
        N_("Then: 1 carrier off, {peel}"), N_("Then: {count} carriers off, {peel}"), "count"
    ),
    "bar.then.inspect": N_("Then: look it over"),
    "bar.then.peel": N_("Then: peel {peel}"),
    "bar.then.peel_at_once": N_("Then: peel {peel}, at once"),
    "bar.then.peel_hand": N_("Then: peel {peel}, in hand"),
    "bar.then.peel_rack": N_("Then: peel {peel}, flat on the rack"),
    "bar.then.rack": N_("Then: flat on the rack"),
    "bar.then.rack_load": N_("Then: flat on the rack, load {number}"),
    "bar.then.rack_peel": N_("Then: number {number}, {peel} peel"),
    "bar.wait": N_("Nothing to load now"),
    "bar.touched": N_("Number {number}: touch its result"),
    "bar.choose": N_("Pedal: short steps, long chooses"),
    "bar.setting": N_("Press is set and settled"),
    "bar.verify": N_("Check the press first"),
    "bar.trial": N_("Try the setting first"),
    "bar.lot": N_("Look at the lot first"),
    "bar.done": N_("Next job or hand-over"),
    "bar.no_job": N_("Choose a job"),
    "bar.off": N_("Sign on first"),
    "below.tap": N_("tap or short press; long press: choices"),
    "below.rack": N_("press closed: tap when peeled"),
    "below.when_open": N_("tap or press once it is open"),
    "below.rack_first": N_("peel it before loading, then tap here"),
    "below.rack_alone": N_("nothing left to load: tap when peeled"),
    "below.hands_clear": N_("hands clear while the press is closed"),
    "below.touch": N_("or touch one of the two"),
    "below.size": N_("or touch the size"),
    "below.number": N_("or enter what you read"),
    "below.setting": N_("next: enter what it shows"),
    "below.touched": N_("touch its chip again for the press"),
    "below.result": N_("or touch how number {number} is"),
    "below.not_due": N_("too early to peel"),
    "below.wait": N_("a garment on the rack or aside comes first"),
    "below.verify": N_("fill in the card"),
    "below.lot": N_("touch what comes next"),
    "below.done": N_("touch what comes next"),
    "below.no_job": N_("touch it on the screen"),
    "below.off": N_("touch your initials"),
}

_QUESTIONS: dict[str, Sentence] = {
    "ask.title.size": N_("New size"),
    "ask.title.fabric": N_("New fabric"),
    "ask.title.setting": N_("New setting"),
    "ask.title.operator": N_("New at the press"),
    "ask.title.break": N_("After the break"),
    "ask.title.twin": N_("Easily taken for another"),
    "ask.title.later_pass": N_("Here for another pass"),
    "ask.first.rack": N_("Rack {racked}. {then}"),
    "ask.first.peel": N_("Peel {racked} {peel}, rack it. {then}"),
    "ask.title.set_rack": N_("Rack {racked}. Set the press to {temperature} °{unit}"),
    "ask.title.set": N_("Set the press to {temperature} °{unit}"),
    "ask.line.size": N_("Read the label in the collar and enter the size."),
    "ask.line.size_waistband": N_("Read the label in the waistband and enter the size."),
    "ask.line.number": N_("Read the number of the pieces in hand and enter it."),
    "ask.line.on_shirt": N_("Read the number on the shirt and enter it."),
    "ask.line.setting": N_("Wait until it has settled."),
    "ask.line.closed": N_("It was called open before its time was up."),
    "ask.foot.size": N_("No heat until the label and the ticket agree."),
    "ask.foot.number": N_("No heat until the number and the ticket agree."),
    "ask.foot.again": N_("The ticket says {right}. Find it, read it again."),
    "ask.foot.setting": N_("Up to {tolerance} °{unit} off is fine."),
    "ask.foot.setting_exact": N_("It must show exactly this."),
    "ask.foot.setting_cold": N_(
        "It showed {last} °{unit}, too cold. Check the setting, let it heat up, read again."
        " Still cold: hold and call the supervisor."
    ),
    "ask.foot.setting_hot": N_(
        "It showed {last} °{unit}, too hot. Check the setting, let it cool, read again."
        " Still hot: hold and call the supervisor."
    ),
    "ask.blind.setting": N_("What does the press show?"),
    "ask.blind.line": N_("Read its display. Enter the figures as they are."),
    "ask.closed": N_("Closed"),
    "ask.not_closed": N_("Not closed"),
}

RUN_BAR: dict[str, Sentence] = {**_CLOSE, **_CONFIRM, **_REFUSING, **_QUESTIONS}
