"""A plan as text: settings, steps, taps, what to pull, time."""

from collections import Counter
from collections.abc import Iterator
from itertools import groupby

from kiosk.catalog.base import Message
from kiosk.catalog.model import Job, Peel, RosterLine, size_rank
from kiosk.commands.load import LoadedJob
from kiosk.commands.plan.supply import (
    PastByRun,
    PickGroup,
    Supply,
    film_text,
    grouped_picks,
    supply_sections,
)
from kiosk.plan import phrases
from kiosk.plan.heat import basis, heat_summary, sentences
from kiosk.plan.model import HOT_PHASES, PanelRefusal, PanelSettings, Pass, Phase, Plan
from kiosk.plan.sources import HeatLeft, plan_source_lines
from kiosk.plan.time import (
    flat_places,
    handling,
    in_order,
    in_passes,
    minutes,
    spared_in,
    whole_job,
)
from kiosk.run.facts import untried
from kiosk.run.state import Demand
from kiosk.words import Words


def of_plan(plan: Plan, loaded: LoadedJob, past: PastByRun, supply: Supply, names: bool) -> str:
    """Return the plan as text in the shop's language, with names only if asked for."""
    job, words = loaded.job, loaded.words
    metric = loaded.catalog.station.millimetres
    lines = [
        *head_lines(plan, job, words),
        *(line for panel in plan.settings for line in _panel(plan, panel, words)),
        "",
        *_order(job, words),
        words("command.plan.taps", taps=plan.taps_per_garment),
        *time_lines(plan, job, past, words),
        "",
        f"{words('command.plan.sources')}:",
        *(f"  {line}" for line in source_lines(plan, words, asks_for_trial(plan, loaded))),
        "",
        f"{words('command.plan.pull')}:",
        *(f"  {each}" for each in _pull_lines(plan, supply, metric, words)),
    ]
    for section in supply_sections(supply, metric, words):
        lines += ["", f"{section.title}:", *(f"  {line}" for line in section.lines)]
    if names:
        lines += ["", f"{words('command.plan.names')}:"]
        lines += [f"  {r.line}  {r.size}  {_number_and_set(r)}  {r.name}" for r in job.roster]
    return "\n".join(lines)


def asks_for_trial(plan: Plan, loaded: LoadedJob) -> bool:
    """Return whether a station of this shop requires a trial before the job's lot."""
    required = loaded.catalog.policy.trial is not Demand.NO
    return required and any(untried(plan, each) for each in plan.passes)


def source_lines(plan: Plan, words: Words, asks_for_trial: bool = False) -> Iterator[str]:
    """Yield where the plan's numbers come from, a line for each source, guesses first."""
    lines = plan_source_lines(plan.sources, plan.fabric, plan.press)
    yield from (words.say(each) for each in lines)
    if asks_for_trial:
        yield words("command.plan.trial")


def of_refusal(refusal: PanelRefusal, words: Words) -> str:
    """Return why the job cannot be pressed, and which changes would make it possible."""
    limits = tuple(str(limit) for limit in refusal.conflict)
    lines = [
        words("command.plan.refused"),
        words("settings.refused", panel=phrases.panel_word(refusal.panel), limits=limits),
    ]
    lines += [words(f"settings.gap.{key}", gap=gap) for key, gap in refusal.gap.items()]
    lines += [
        words("command.plan.would_do", change=words.say(change)) for change in refusal.changes
    ]
    return "\n".join(lines)


def head_lines(plan: Plan, job: Job, words: Words) -> Iterator[str]:
    """Yield the title, recipe, fabric and press, the garments by size, and the lots."""
    sizes = Counter(sorted((line.size for line in job.roster), key=size_rank))
    yield plan.title
    yield words(
        "command.plan.job", recipe=plan.recipe_name, fabric=plan.fabric_name, press=plan.press
    )
    each = ", ".join(f"{count} {size}" for size, count in sizes.items())
    yield f"{words('command.plan.garments', count=len(job.roster))}: {each}"
    if len(plan.passes) > 1:
        for run in plan.runs:
            together = "run_together" if len(run) > 1 else "run_lot"
            passes = ", ".join(
                words.say(phrases.pass_words(plan, plan.passes[index])) for index in run
            )
            yield words(f"command.plan.{together}", passes=passes)


def _panel(plan: Plan, panel: PanelSettings, words: Words) -> Iterator[str]:
    yield ""
    yield _word(phrases.panel_word(panel.panel), words).upper()
    yield from setting_lines(panel, words)
    passes = [each for each in plan.passes if each.panel == panel.panel]
    for each in passes:
        yield ""
        if len(passes) > 1:
            yield f"  {words.say(phrases.pass_words(plan, each))}"
        yield from _steps(plan, each, words)
        at_press = [wait for wait in each.stages if wait.peel is Peel.HOT]
        yield from (f"      {words.say(basis(wait))}" for wait in at_press)
        yield from (f"      {line}" for line in heat_lines(plan, each, words))


def _from_to(low: int, high: int, words: Words) -> str:
    return str(low) if low == high else words("command.plan.range", low=low, high=high)


def setting_lines(panel: PanelSettings, words: Words) -> Iterator[str]:
    """Yield a panel's press setting, the usable range, changes and warnings; indented."""
    change = "setting_change" if panel.setting_change else "setting"
    setting = f"{panel.closings[0].temperature} °{panel.unit.value}"
    yield f"  {words(f'command.plan.{change}', temperature=setting)}"
    for span in panel.usable:
        temperatures = _from_to(span.temperature_low, span.temperature_high, words)
        dwell = _from_to(span.dwell_low, span.dwell_high, words)
        unit = f"°{panel.unit.value}"
        yield f"  {words('command.plan.usable', temperatures=temperatures, unit=unit, dwell=dwell)}"
    for changed in phrases.change_lines(panel.changed_from_normal):
        yield f"  {words('command.plan.changed', changed=words.say(changed))}"
    for warning in panel.warnings:
        yield f"  {words('command.plan.warning', warning=words(f'settings.warning.{warning}'))}"


def _steps(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    for number, step in enumerate(each.steps, 1):
        hot = step.phase in HOT_PHASES
        advance = words("command.plan.clock", seconds=step.seconds) if hot else ""
        name = words(f"phase.{step.phase.value}")
        text = words.say(phrases.phrase(plan, each, step))
        yield f"  {number:>2}  {name:<15} {advance:>5}  {text}"


def _number_and_set(line: RosterLine) -> str:
    """Return a garment's number, and its set if the roster has sets: `7 home`."""
    return " ".join(part for part in (line.number or "-", line.set) if part)


def _order(job: Job, words: Words) -> Iterator[str]:
    """Yield the order of work by size, and twins that could not be separated."""
    order = in_order(job.roster)
    numbers = [
        f"{size} {' '.join(_number_and_set(line) for line in lines)}"
        for size, lines in groupby(order.garments, key=lambda line: line.size)
    ]
    yield words("command.plan.order", order=" · ".join(numbers), changes=order.size_changes)
    for first, second in order.adjacent_twins:
        yield words("command.plan.twins_beside", first=first, second=second)


def time_lines(plan: Plan, job: Job, past: PastByRun, words: Words) -> Iterator[str]:
    """Yield how long the job takes, the rack places needed, and what the estimate rests on."""
    lacks = [line.lacks for line in job.roster]
    garments = in_passes(plan, lacks)
    low, high = minutes(plan, garments, past, spared_in(plan, lacks))
    yield words("command.plan.minutes", low=low, high=high)
    if places := flat_places(plan, len(job.roster)):
        yield words("command.plan.places", count=places)
    own = whole_job(plan, garments, past).cycles
    if own:
        yield f"  {words('command.plan.own', count=own)}"
        return
    settling = handling.HandTime(handling.SETTLING.low / 60, handling.SETTLING.high / 60)
    assumed = words(
        "command.plan.assumed",
        load=_range(handling.PER_STEP[Phase.LOAD]),
        lay=_range(handling.PER_PIECE[Phase.LAY]),
        carrier=_range(handling.PER_PIECE[Phase.REMOVE_CARRIER]),
        peel=_range(handling.PER_PIECE[Phase.PEEL]),
        inspect=_range(handling.PER_STEP[Phase.INSPECT]),
        settle=_range(settling),
    )
    yield f"  {assumed}"


def _range(span: handling.HandTime) -> str:
    return f"{span.low:g}–{span.high:g}"


def _pull_lines(plan: Plan, supply: Supply, metric: bool, words: Words) -> Iterator[str]:
    for group in grouped_picks(plan, supply.picks):
        film = film_text(group.colour, group.material, supply.titles)
        yield _drawer(group, film, metric, words)


def _drawer(group: PickGroup, film: str, metric: bool, words: Words) -> str:
    drawer = words(
        "command.plan.pick",
        panel=phrases.panel_word(group.panel),
        element=phrases.element_word(group.element),
        layer=group.layer,
        film=film,
        height=words.height(group.height_inches, metric),
    )
    if not group.characters:
        return f"{drawer}: {words('command.plan.pieces', count=group.count)}"
    return f"{drawer}: " + "  ".join(f"{character}×{n}" for character, n in group.characters)


def _word(text: str | Message, words: Words) -> str:
    return text if isinstance(text, str) else words.say(text)


def heat_lines(plan: Plan, each: Pass, words: Words) -> Iterator[str]:
    """Yield the sentences about a pass's heat, and the heat time left."""
    summary = heat_summary(each, plan.unit)
    if summary is not None:
        yield from (words.say(sentence) for sentence in sentences(summary, plan.unit))
    parts = ", ".join(_remaining_heat(plan, each, remaining, words) for remaining in each.heat_left)
    yield words("heat.left", parts=parts)


def _remaining_heat(plan: Plan, each: Pass, remaining: HeatLeft, words: Words) -> str:
    piece = next(
        (p for p in plan.pieces if (p.panel, p.name) == (each.panel, remaining.owner)), None
    )
    if piece is None:
        return words("heat.left.fabric", seconds=remaining.spare_seconds)
    (element,) = phrases.element_words((piece.name,))
    form = "layer" if piece.layers > 1 else "one"
    return words(
        f"heat.left.{form}", element=element, layer=piece.layer, seconds=remaining.spare_seconds
    )
