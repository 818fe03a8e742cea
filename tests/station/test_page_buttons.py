"""Page buttons: words keep clear of frames; sentences are stacked if they can be."""

from __future__ import annotations

from pathlib import Path

import pytest
from station_driver import Person, lay_out
from station_harness import Bench
from test_practice_pages import TITLE, Trainee, on_day_one

from kiosk.station.desk.learn.quiz import Quizzes
from kiosk.station.glass.boxes import Box, Scale

CLEAR_MM = 1.0  # common practice, no source: a letter that touches a line reads as part of it
LOOKS = [(1280, 800), (800, 1280)]


def clear_of_frame(bench: Bench, box: Box) -> float:
    """Return the ground, px, between the frame's left line and the first letter."""
    shown = bench.pixels()
    middle = box.y + box.h / 2
    rows = [middle + step for step in range(-int(box.h / 8), int(box.h / 8))]
    across = range(int(box.x) + 1, int(box.x + box.w / 2))
    lit = [any(shown.at(x, y)[0] > 128 for y in rows) for x in across]
    line = lit.index(True)
    after = lit.index(False, line)
    return float(lit.index(True, after) - after)


@pytest.mark.parametrize("look", LOOKS)
def test_a_word_beside_the_bar_does_not_touch_the_frame(
    look: tuple[int, int], bench: Bench, tmp_path: Path
) -> None:
    bench.resize(*look)
    lay_out(tmp_path, "ice-crew")
    person = Person(bench, tmp_path)
    person.first_start()
    box = next(each.box for each in person.buttons() if each.label == "Supervisor")
    bench.pass_time(0.1)
    assert clear_of_frame(bench, box) >= Scale(look, 10.1).mm(CLEAR_MM)
    person.close()


LONG = 60  # characters: three rows and more in half of a portrait screen


def long_answers(trainee: Trainee) -> list[str]:
    """Answer until the answers are sentences: a quiz draws its questions by the time of day."""
    say = trainee.person.station.words.say
    for _ in range(40):
        quiz = trainee.person.station.desk.of(Quizzes).quiz
        assert quiz is not None
        if quiz.question is None:
            trainee.choose("Once more")
            continue
        told = [say(option.text) for option in quiz.question.options]
        if len(told) > 3 and max(map(len, told)) > LONG:
            return told
        trainee.choose(say(quiz.question.right.text), "Next question")
    raise AssertionError("no question of four quizzes has long answers")


def test_long_quiz_answers_are_stacked_on_a_portrait_screen(bench: Bench, tmp_path: Path) -> None:
    bench.resize(800, 1280)
    trainee = on_day_one(bench, tmp_path, Person)
    trainee.choose(TITLE, "Quiz")
    told = long_answers(trainee)
    boxes = [each.box for each in trainee.person.buttons() if each.label in told]
    assert len(boxes) == len(told)
    assert len({box.x for box in boxes}) == 1
    trainee.person.close()


READ_MM = 30.0  # common practice, no source: on narrower buttons words are small


def test_buttons_below_the_jobs_are_wide_enough_on_a_portrait_screen(
    bench: Bench, tmp_path: Path
) -> None:
    bench.resize(800, 1280)
    lay_out(tmp_path)
    person = Person(bench, tmp_path)
    person.first_start()
    below = ("New order", "New film", "Español", "Screen and units", "Practice")
    boxes = [each.box for each in person.buttons() if each.label.startswith(below)]
    assert len(boxes) == len(below)
    assert min(box.w for box in boxes) >= Scale((800, 1280), 10.1).mm(READ_MM)
    person.close()
