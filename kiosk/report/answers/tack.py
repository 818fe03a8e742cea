"""Whether the tack is too long: what its films allow, and how long it was really closed."""

from collections.abc import Sequence
from statistics import fmean

from kiosk.catalog.base import Message, say
from kiosk.catalog.model import GUESS, source_in_words
from kiosk.plan.model import Phase
from kiosk.report.answers.dwell import Group, Opening, closings_by_phase, grouped, name_of, openings
from kiosk.report.content import EMPTY, Section, Table, Topic, head, row
from kiosk.report.evidence import SHARED, Comparison, Share, Strength, at_least, strengths, total
from kiosk.report.period import Period

BEYOND = 0.1  # largest acceptable share past the limit; common practice, no source
GROUPS_NAMED = 2


def tack(period: Period) -> Topic:
    """Return the answer to: is the tack too long? By station and by how the opening is known."""
    groups = grouped(openings(period, Phase.TACK))
    closings = sum(n for key, n in closings_by_phase(period).items() if key[0] is Phase.TACK)
    shares = {key: Share(sum(map(_beyond, group)), len(group)) for key, group in groups.items()}
    cases = [Comparison(at_least(*share, BEYOND), BEYOND**share.whole) for share in shares.values()]
    verdicts = dict(zip(groups, strengths(cases, SHARED), strict=True))
    if not closings:
        answer: tuple[Message, ...] = (say("answer.tack.no_tack"),)
    elif not groups:
        answer = (say("answer.tack.not_seen", count=closings),)
    else:
        too_long = [key for key in groups if verdicts[key] is not Strength.TOO_LITTLE]
        answer = tuple(_tack(key, groups[key], verdicts[key]) for key in (too_long or groups))
    rows = tuple(
        row(name_of(key), f"{set_seconds:g} s", f"{_limit(same)} s", len(same),
            f"{_mean(same):.1f}", f"{max(o.set_seconds + o.over for o in same):.1f}",
            sum(map(_beyond, same)))
        for key, group in groups.items()
        for set_seconds in sorted({o.set_seconds for o in group})
        for same in ([o for o in group if o.set_seconds == set_seconds],)
    )  # fmt: skip
    table = Table(head("known", "set_s", "most", "n", "mean_s", "longest_s", "beyond_limit"), rows)
    answer = answer[:GROUPS_NAMED]
    return Topic(Section("tack", answer, table), "tack", answer, lambda: {
        "tack": {"closings": closings, "seen": sum(map(len, groups.values())),
                 "beyond_limit": total(shares.values()).part,
                 "too_long": [{"station": key[0], "seen": key[1].value, "word": word.value}
                              for key, word in verdicts.items() if word is not Strength.TOO_LITTLE]}
    })  # fmt: skip


def _beyond(opening: Opening) -> bool:
    most = opening.most_seconds
    return most is not None and opening.set_seconds + opening.over > most


def _limit(found: Sequence[Opening]) -> str:
    """Return the tack limits of the pieces, in seconds, as text."""
    limits = {o.most_seconds for o in found if o.most_seconds is not None}
    return " / ".join(map(str, sorted(limits))) or EMPTY


def _mean(found: Sequence[Opening]) -> float:
    return fmean(o.set_seconds + o.over for o in found)


def _tack(group: Group, found: Sequence[Opening], word: Strength) -> Message:
    """Return the verdict: too long, right, or too little evidence though many are over."""
    beyond = sum(map(_beyond, found))
    verdict = "too_long" if word is not Strength.TOO_LITTLE else "right"
    if verdict == "right" and beyond > BEYOND * len(found):
        verdict = "too_little"
    sources = dict.fromkeys(source for o in found for source in o.limit_sources)
    return say(
        f"answer.tack.{verdict}",
        mean=f"{_mean(found):.1f}",
        planned=f"{fmean(o.set_seconds for o in found):.1f}",
        limit=_limit(found),
        beyond=beyond,
        count=len(found),
        of=name_of(group),
        word=word.say(),
        source=tuple(source_in_words(source) for source in sources or (GUESS,)),
    )
