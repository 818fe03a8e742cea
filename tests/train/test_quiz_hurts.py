"""The quiz of what goes wrong: forty kinds over the shipped jobs, each with one right answer.

Causes at a press are common practice, no source; here it is only checked that no wrong
option could be right by the tables' own words, and that no kind has one fixed answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

from catalog_jobs import catalog, shipped

from kiosk.catalog.base.notes import Message
from kiosk.catalog.read import read_job
from kiosk.catalog.rules.faces import read_face
from kiosk.plan.model import PanelRefusal
from kiosk.plan.procedure import plan_job
from kiosk.train.question import KINDS, QuizQuestion, Subject
from kiosk.train.quiz import MAKERS, QUIZ_LENGTH, Quiz, ask_one, examine, kinds_of, subject_of
from kiosk.words import Words

WORDS = Words()
PLAIN = ("two-layer-pair", "deck-knit", "heron")
JOBS = Path(__file__).resolve().parents[2] / "shared" / "jobs"


def said(asked: QuizQuestion) -> list[str]:
    """Return every sentence of a question, so that a missing one fails."""
    whys = [WORDS.say(why) for option in asked.options for why in option.why]
    return [WORDS.say(asked.ask), *(WORDS.say(o.text) for o in asked.options), *whys]


def shipped_jobs() -> Iterator[Subject]:
    """Each job that the project ships."""
    for folder in sorted(path.parent for path in JOBS.glob("*/job.yaml")):
        job, faults = read_job(folder, catalog())
        assert job is not None, faults
        plan = plan_job(job, catalog(), read_face())
        assert not isinstance(plan, PanelRefusal)
        yield subject_of(job, catalog(), plan)


def test_the_shipped_jobs_give_forty_kinds_of_question_with_varying_answers() -> None:
    """One answer is right; the others belong to dissimilar kinds or are common wrong reactions."""
    answers: dict[str, set[str]] = {}
    for about in shipped_jobs():
        for kind in kinds_of(about):
            for seed in range(12):
                asked = ask_one(about, kind, Random(f"{kind}/{seed}"))
                if asked is None:
                    continue
                assert asked.kind == kind
                answers.setdefault(kind, set()).add(WORDS.say(asked.right.text))
                assert "" not in said(asked)
                if kind in KINDS:
                    assert parts_true(asked), asked
                    assert all(new_to_the_page(why, asked) for why in asked.right.why), asked
    assert len(answers) >= 40
    assert {kind for kind, texts in answers.items() if len(texts) == 1} == set()


def new_to_the_page(why: Message, asked: QuizQuestion) -> bool:
    """Return whether a reason adds something to the question and the right answer beside it."""
    there = (WORDS.say(asked.ask), WORDS.say(asked.right.text))
    return not any(WORDS.say(why) in each for each in there)


def parts_true(asked: QuizQuestion) -> bool:
    """Return whether the right option is of the question's kind and no other can be right."""
    own = asked.kind
    for option in asked.options:
        _, _, kind, part = option.text.id.split(".")
        if option.right != (kind == own and part != "wrong"):
            return False
        like = set(KINDS[own][0].split()) & set(KINDS[kind][0].split())
        if kind != own and like:
            return False
    given = [value.id for value in asked.ask.values.values() if isinstance(value, Message)]
    return all(each.split(".")[2] == own for each in given)


def test_a_question_what_to_do_offers_a_common_mistake() -> None:
    found = 0
    for about in shipped_jobs():
        for kind in KINDS:
            asked = ask_one(about, kind, Random(kind))
            assert asked is not None
            wrong = [o for o in asked.options if o.text.id == f"quiz.hurt.{kind}.wrong"]
            assert len(wrong) == (asked.ask.id == "quiz.hurt.what_now")
            found += len(wrong)
    assert found > 20


def test_ten_questions_are_asked_with_missed_kinds_and_no_repeats() -> None:
    about = shipped(*PLAIN)
    missed = ("six_nine", "stays_closed", "border_off")
    known = dict.fromkeys(kinds_of(about), 3) | dict.fromkeys(missed, 0)
    for seed in "abc":
        asked = [each.kind for each in examine(about, known, seed)]
        assert len(asked) == len(set(asked)) == QUIZ_LENGTH
        assert set(missed) <= set(asked)
        assert set(MAKERS) & set(asked)
    fresh = [each.kind for each in examine(about, {"turn": 1, "lint": 1}, "a")]
    assert not {"turn", "lint"} & set(fresh)


def test_a_missed_question_returns_once_after_three_others() -> None:
    about = shipped(*PLAIN)
    dice = Random("again")
    made = Quiz(examine(about, {}, "a"), lambda kind: ask_one(about, kind, dice))
    first = made.question
    assert first is not None
    kinds = []
    while made.question is not None:
        kinds.append(made.question.kind)
        wrong = made.question.kind == first.kind
        options = made.question.options
        chosen = next(n for n, o in enumerate(options) if o.right is not wrong)
        assert made.choose(chosen) is not wrong
        made.go_on()
    assert len(kinds) == QUIZ_LENGTH + 1
    assert [n for n, kind in enumerate(kinds) if kind == first.kind] == [0, 4]
