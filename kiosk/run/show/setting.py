"""The page for setting the press: temperature, pressure, its own timer, warnings."""

from kiosk.catalog.base import Message, Value, recorded_word, say
from kiosk.plan.model import PanelSettings
from kiosk.plan.phrases import pressure_words
from kiosk.plan.sources import guess_line
from kiosk.run.facts import Dials, article_of, dials_of, pressure_serves
from kiosk.run.show.parts import ChoiceView, MovePage
from kiosk.run.show.scene import Scene
from kiosk.run.show.sentences import do_first


def setting_page(scene: Scene, needed: str) -> MovePage:
    """Return the page for setting the press, with the warnings of this panel's settings."""
    panel = next((s for s in scene.plan.settings if s.panel == scene.passage.panel), None)
    return MovePage(
        say("move.setting"),
        _dial_lines(dials_of(scene.plan, scene.ticket.passage)),
        ask=_ask(scene, needed),
        warnings=(*_warnings(panel), *_guesses(scene)),
        hides_drawing=True,
    )


def _dial_lines(dials: Dials) -> tuple[Message, ...]:
    """The pressure, and the press's own timer if it opens by it."""
    if dials.low is None or dials.high is None:
        return () if dials.timer is None else (say("line.setting.timer", seconds=dials.timer),)
    values: dict[str, Value] = {"pressure": pressure_words(dials.low, dials.high)}
    if dials.timer is None:
        return (say("line.setting.pressure", **values),)
    return (say("line.setting.pressure_timer", **values, seconds=dials.timer),)


def _warnings(panel: PanelSettings | None) -> tuple[Message, ...]:
    warnings = () if panel is None else panel.warnings
    return tuple(recorded_word("settings.warning", each) for each in warnings)


def _guesses(scene: Scene) -> tuple[Message, ...]:
    """Values of this setting that nobody has looked up or tried, as the plan was made."""
    plan = scene.plan
    line = guess_line(plan.sources, plan.fabric, plan.press)
    if line is None:
        return ()
    tried = article_of(plan, scene.passage) in scene.job.tried
    return (say("source.guesses_begun", **line.values) if tried else line,)


def _ask(scene: Scene, needed: str) -> ChoiceView:
    """The setting question, whole degrees of the plan's unit.

    The required value is shown first; the reading is entered on a page that hides it.
    """
    title, line = _to_set(scene, needed)
    return ChoiceView(
        do_first(scene, title) or title,
        line=line,
        foot=_setting_foot(scene, int(needed), _read_for(scene, int(needed))),
        blind=(say("ask.blind.setting"), say("ask.blind.line")),
    )


def _to_set(scene: Scene, needed: str) -> tuple[Message, Message]:
    """What to set, and a line: the temperature, or what else changes if that stays."""
    plan, before = scene.plan, scene.job.set_in
    dials = dials_of(plan, scene.ticket.passage)
    values: dict[str, Value] = {"temperature": needed, "unit": plan.unit.value}
    if before is None or str(scene.job.set_for) != needed:
        return say("ask.title.set", **values), say("ask.line.setting")
    stays = say("ask.line.stays", **values)
    if pressure_serves(dials_of(plan, before), dials) or dials.low is None or dials.high is None:
        return say("ask.title.timer", seconds=dials.timer), stays
    return say("ask.title.pressure", pressure=pressure_words(dials.low, dials.high)), stays


def _read_for(scene: Scene, needed: int) -> int | None:
    """The press's last reading for this setting, None if it was for another."""
    read_in = scene.job.set_in
    if read_in is None:
        return None
    temperatures = {step.temperature for step in scene.plan.passes[read_in].steps}
    return scene.job.setting if needed in temperatures else None


def _setting_foot(scene: Scene, needed: int, last: int | None) -> Message:
    """How far off the press may be, or what to do if its reading was too far off."""
    tolerance = scene.job.rules.tolerance
    values: dict[str, Value] = {"unit": scene.plan.unit.value, "tolerance": tolerance}
    if last is None or abs(last - needed) <= tolerance:
        if scene.plan.films:
            coldest, hottest = scene.plan.films[scene.ticket.passage]
            low, high = max(needed - tolerance, coldest), min(needed + tolerance, hottest)
            if low < high < low + 2 * tolerance:
                return say("ask.foot.setting_films", low=low, high=high, unit=values["unit"])
            tolerance = high - low
        return say("ask.foot.setting" if tolerance else "ask.foot.setting_exact", **values)
    return say(
        "ask.foot.setting_cold" if last < needed else "ask.foot.setting_hot", last=last, **values
    )
