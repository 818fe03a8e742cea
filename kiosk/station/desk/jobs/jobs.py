"""Pages for choosing a job and setting up for it."""

from dataclasses import replace

from kiosk.catalog.base import folder_problem, recorded_word
from kiosk.plan.fingerprint import ProofState
from kiosk.plan.model import Plan
from kiosk.plan.phrases import element_words, panel_word, pressure_words
from kiosk.plan.time import flat_places, in_passes, spared_in
from kiosk.run.facts import outcomes
from kiosk.run.state import JobRun
from kiosk.station.desk.desk import Desk
from kiosk.station.desk.display import display_button, language_button
from kiosk.station.desk.jobs import begin, other_ways
from kiosk.station.desk.jobs.apart_page import other_plan
from kiosk.station.desk.jobs.at_server import AtServer
from kiosk.station.desk.jobs.library import JobOffer
from kiosk.station.desk.jobs.order_films import start_entry
from kiosk.station.desk.jobs.order_pages import start as start_order
from kiosk.station.desk.jobs.proofing import Proofing, approval_line, look_at_heat, made_of
from kiosk.station.desk.learn import practice_pages as practice
from kiosk.station.desk.people import ask_pin
from kiosk.station.desk.sheet import Button, Card, PageKind, Sheet, cautions
from kiosk.station.desk.shift.handover import hand_over_to, not_finished
from kiosk.words import Words
from kiosk.words.speak import FIRST, SET_UP

PIECES = {"number": "page.set_up_digits", "name": "page.set_up_letters"}


def jobs(desk: Desk, words: Words) -> Sheet:
    """Page to choose a job."""

    def choice(offer: JobOffer) -> Button:
        changed = (words("page.job_changed"),) if offer.changed else ()
        below = (*_due(offer, words), *_proof(desk, offer, words), *changed)
        state, key = desk.shell.state, offer.folder.name
        card = job_card(offer, state.jobs.get(key), key in state.finished, words)
        card = replace(card, state=_state_of(desk, offer, words))
        line = " · ".join(below)
        return Button(offer.title, lambda: desk.look_at(offer), line, card)

    return Sheet(
        title=words("page.jobs"),
        lines=() if desk.offers else (_no_jobs(desk, words),),
        choices=(
            *(choice(offer) for offer in desk.offers),
            start_order(desk, words),
            start_entry(desk, words),
            language_button(desk, words),
            display_button(desk, words),
            practice.start(desk, words),
        ),
        left=Button(words("page.hand_over"), lambda: hand_over_to(desk)),
        right=Button(words("page.supervisor"), lambda: ask_pin(desk)),
    )


def _no_jobs(desk: Desk, words: Words) -> str:
    """Return why no job is offered; names a folder that cannot be read, as a share may be down."""
    why = folder_problem(desk.library.jobs)
    if why is None:
        return words("page.no_jobs")
    return f"{desk.library.jobs}: {words.say(why)}"


def _due(offer: JobOffer, words: Words) -> tuple[str, ...]:
    return (words("page.job_due", day=offer.due),) if offer.due else ()


def _proof(desk: Desk, offer: JobOffer, words: Words) -> tuple[str, ...]:
    """Return how far its drawings are approved."""
    state = _proof_state(desk, offer)
    return () if state is None else (approval_line(state, words),)


def _proof_state(desk: Desk, offer: JobOffer) -> ProofState | None:
    """Return the proof's state, or None if it no longer matters.

    It matters for a begun job only if someone had approved some of it.
    """
    state = desk.of(Proofing).state(offer)
    if state is None or offer.folder.name in desk.shell.state.finished:
        return None
    approved_before = bool(state.approvals or state.changed)
    return state if approved_before or not begin.begun(desk, offer) else None


def _state_of(desk: Desk, offer: JobOffer, words: Words) -> str:
    run = desk.shell.state.jobs.get(offer.folder.name)
    if run is not None:
        garments = outcomes(run)
        ended = len(garments) - garments.count(None)
        return words("page.job_open", ended=ended, of=len(garments))
    if offer.folder.name in desk.shell.state.finished:
        return words("page.job_finished")
    if offer.plan is None:
        return words("page.job_faulty", count=len(offer.faults) or 1)
    return words("page.job_new", count=len(offer.roster))


def set_up(desk: Desk, words: Words) -> Sheet:
    """Page of the press's settings, and what to know before the first garment."""
    offer = desk.offer
    assert offer is not None  # this page needs an open job
    assert offer.plan is not None
    if desk.of(AtServer).asks:
        return begin.alone_or_shared(desk, offer, words)
    if (found := other_ways.plan_conflict(desk, offer)).differs:
        return other_plan(desk, found, words)
    plan = offer.plan
    label = "page.set_up_again" if begin.begun(desk, offer) else "page.set_up_main"
    main = "page.set_up_supervisor" if begin.needs_supervisor(desk) else label
    doubts = Button(words("page.questions", count=len(offer.questions)),
                    lambda: desk.go(PageKind.QUESTIONS))  # fmt: skip
    can_begin_again = other_ways.can_begin_again(desk, offer)
    id_ = "page.set_up_untouched" if can_begin_again else "page.set_up_changed"
    changed = (words(id_),) if offer.changed else ()
    start = Button(words(main), lambda: begin.start_job(desk))
    proof = _proof_button(desk, offer, words)
    take_over = other_ways.take_over_button(desk, offer, words)
    start_first = proof is None or take_over is not None or begin.begun(desk, offer)
    first, other = (start, proof) if start_first else (proof, start)
    return Sheet(
        title=offer.title,
        headline=next(iter(_settings(plan, words)), ""),
        second=_to_fetch(desk, offer, plan, words),
        lines=(*changed, *_facts(desk, offer, plan, words), _notes(words)),
        cautions=cautions(words, SET_UP),
        choices=(doubts,) if offer.questions else (),
        main=first,
        left=Button(words("page.back"), lambda: desk.go(PageKind.JOBS)),
        right=take_over
        or other_ways.give_back_button(desk, offer, words)
        or other_ways.begin_again_button(desk, offer, words)
        or other
        or _heat_button(desk, plan, words),
    )


def _facts(desk: Desk, offer: JobOffer, plan: Plan, words: Words) -> tuple[str, ...]:
    """Return what else to know about the job."""
    what, sources = made_of(plan, words)
    return (
        *_settings(plan, words)[1:],
        what,
        *_due(offer, words),
        *_finish(desk, offer, words),
        *_parts(plan, words),
        sources,
        *_places(plan, len(offer.roster), words),
        *_warnings(plan, words),
    )


def _notes(words: Words) -> str:
    """Return what comes before this program, and what it cannot do."""
    return " ".join(words(line) for line in (*FIRST, "caution.claim"))


def _settings(plan: Plan, words: Words) -> tuple[str, ...]:
    """Return every final's setting; with its panel if they differ."""
    finals = [
        (panel, closing)
        for panel in plan.settings
        for closing in panel.closings
        if closing.purpose.value == "final"
    ]
    same = len({(c.temperature, c.dwell_seconds, c.pressure_low, c.pressure_high)
               for _, c in finals}) == 1  # fmt: skip
    lines = (
        words(
            "page.set_up_headline" if same else "page.set_up_headline_of",
            panel=panel_word(panel.panel),
            temperature=closing.temperature,
            unit=panel.unit.value,
            seconds=closing.dwell_seconds,
            pressure=pressure_words(closing.pressure_low, closing.pressure_high),
        )
        for panel, closing in finals
    )
    return tuple(dict.fromkeys(lines))


def _to_fetch(desk: Desk, offer: JobOffer, plan: Plan, words: Words) -> str:
    """Return what to bring: garments, pieces by film, cover sheet; for a begun job its progress."""
    run = desk.shell.state.jobs.get(offer.folder.name)
    if run is not None:
        return "; ".join((_state_of(desk, offer, words), *not_finished(run, words)))
    pieces = tuple(
        words(PIECES.get(element, "page.set_up_piece") + ("" if colour else "_plain"), count=count,
              element=element_words((f"{element}.1",)), colour=colour.upper())
        for element, colour, count in offer.to_pull
    )  # fmt: skip
    covered = any(each.cover_sheet for panel in plan.settings for each in panel.closings)
    sheet = (words("page.set_up_sheet"),) if covered else ()
    garments = words("page.job_new", count=len(offer.roster))
    alone = "_alone" if begin.may_share(desk, offer) else ""  # asked after this page
    return words(f"page.set_up_fetch{alone}", what=(garments, *pieces, *sheet))


def _finish(desk: Desk, offer: JobOffer, words: Words) -> tuple[str, ...]:
    run, wall = desk.shell.state.jobs.get(offer.folder.name), desk.shell.now().wall
    if run is not None:
        return (words.say(desk.forecast.of_run(run, wall)),)
    if offer.plan is None:
        return ()
    lacks = [line.lacks for line in offer.roster]
    garments, spared = in_passes(offer.plan, lacks), spared_in(offer.plan, lacks)
    return (words.say(desk.forecast.of_job(offer.plan, garments, wall, spared)),)


def _proof_button(desk: Desk, offer: JobOffer, words: Words) -> Button | None:
    """Button to the proof while rows of it wait for approval."""
    state = _proof_state(desk, offer)
    if state is None or not state.waiting:
        return None
    label = "page.proof" if begin.begun(desk, offer) else "page.proof.look"
    return Button(words(label), desk.of(Proofing).open)


def _places(plan: Plan, garments: int, words: Words) -> tuple[str, ...]:
    """Return how many flat places the rack needs, if any."""
    count = flat_places(plan, garments)
    return (words("command.plan.places", count=count),) if count else ()


def _heat_button(desk: Desk, plan: Plan, words: Words) -> Button | None:
    """Button to a garment's temperatures, if a model fits any of its passes."""
    if all(each.heat is None for each in plan.passes):
        return None
    return Button(words("page.heat"), lambda: look_at_heat(desk))


def _parts(plan: Plan, words: Words) -> tuple[str, ...]:
    """Return the panels that are too long for the platen and pressed in parts."""
    several = {each.panel: each.part.of for each in plan.passes if each.part is not None}
    return tuple(
        words("plan.place.parts", panel=panel_word(panel), count=count)
        for panel, count in several.items()
    )


def _warnings(plan: Plan, words: Words) -> tuple[str, ...]:
    ids = dict.fromkeys(w for panel in plan.settings for w in panel.warnings)
    return tuple(words.say(recorded_word("page.warning", warning)) for warning in ids)


def job_card(offer: JobOffer, run: JobRun | None, finished: bool, words: Words) -> Card:
    """Return a job's card, done if `finished` and not begun again; no figures if unreadable."""
    if offer.plan is None and run is None:
        return Card()
    plan = offer.plan if run is None else run.plan
    ended = () if run is None else outcomes(run)
    count = len(ended) or len(offer.roster)
    done = count if run is None and finished else len(ended) - ended.count(None)
    return Card(
        number=next((line.number for line in offer.roster if line.number), ""),
        colour="" if plan is None else _colour(plan),
        done=words("page.job_done_count", count=done),
        remaining=words("page.job_left_count", count=count - done),
        share=done / count if count else 0.0,
    )


def _colour(plan: Plan) -> str:
    """Return the colour of the number's top film, or of the first element's without a number."""
    tops = [piece for piece in plan.pieces if piece.layer == piece.layers]
    numbers = [piece for piece in tops if piece.element == "number"]
    return next((piece.colour for piece in (*numbers, *tops)), "")
