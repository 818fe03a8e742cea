"""Older payloads still mean what they meant when they were written."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from kiosk.catalog.base.notes import Inches, Message, Value, say
from kiosk.log.store import codec
from kiosk.log.store.lift import words_apart_from_text
from kiosk.run.state.events import JobStarted
from kiosk.words import Words

GOLDEN = Path(__file__).parent / "golden" / "0.1.0-words.sqlite3"
WORDS = Words()


def started() -> list[tuple[str, JobStarted]]:
    """Return the payloads that older versions wrote, each with the event read from it today."""
    with closing(sqlite3.connect(f"file:{GOLDEN}?mode=ro&immutable=1", uri=True)) as log:
        rows = log.execute(
            "SELECT kind, version, boot, clock, wall, payload FROM events"
            " WHERE kind = 'job-started'"
        ).fetchall()
    read = [(str(row[5]), codec.decode(codec.EventRow(*row))) for row in rows]
    return [(text, event) for text, event in read if isinstance(event, JobStarted)]


def whys(event: JobStarted) -> list[Message]:
    return [step.why for each in event.plan.passes for step in each.steps if step.why is not None]


def test_words_in_an_old_start_record_are_read_as_words() -> None:
    written = {word for text, _ in started() for word in re.findall(r'"@([^"]+)"', text)}
    assert {"peel.hot", "peel.cold", "element.name", "element.number"} == written
    said = [message for _, event in started() for message in whys(event)]
    assert say("plan.why.carrier", peel=say("peel.hot")) in said
    assert all("@" not in WORDS.say(message) for message in said)


def test_a_text_with_an_at_sign_outside_a_message_is_left_unchanged() -> None:
    plan_of_v1 = {"title": "@peel.cold", "why": {"id": "a", "values": {"peel": "@peel.cold"}}}
    assert words_apart_from_text({"job": "@peel.hot", "plan": plan_of_v1}) == {
        "job": "@peel.hot",
        "plan": {
            "title": "@peel.cold",
            "why": {"id": "a", "values": {"peel": {"id": "peel.cold", "values": {}}}},
        },
    }


TEXTS = st.text(max_size=8) | st.sampled_from(["@peel.cold", "@ruler:-7.25", "inches"])
VALUES: st.SearchStrategy[Value] = st.recursive(
    st.none()
    | st.integers(-9, 9)
    | TEXTS
    | st.builds(Inches, st.floats(0, 30))
    | st.builds(Message, TEXTS, st.just({})),
    lambda inner: (
        st.lists(inner, max_size=3).map(tuple)
        | st.builds(Message, TEXTS, st.dictionaries(TEXTS, inner, max_size=3))
    ),
    max_leaves=6,
)


@given(VALUES)
def test_texts_words_and_lengths_survive_a_round_trip(value: Value) -> None:
    message = say("plan.why.carrier", peel=value)
    assert codec.from_json(codec.to_json(message), Message) == message


def test_a_title_that_looks_like_a_word_stays_a_title() -> None:
    at_sign = Message("x", {"title": "@peel.cold", "peel": say("peel.cold")})
    read = codec.from_json(codec.to_json(at_sign), Message)
    assert read.values == {"title": "@peel.cold", "peel": say("peel.cold")}
