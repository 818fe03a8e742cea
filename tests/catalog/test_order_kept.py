"""An unfinished order is consistent on disk after every step; its answers are read or refused."""

from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from catalog_folders import own_catalog
from customer_files import CSV_ANSWERS, write_all
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.catalog.base import Notes, Unsound
from kiosk.catalog.model import Catalog
from kiosk.catalog.read import list_jobs, read_job
from kiosk.catalog.roster import Answer, CannotOrder, OrderDraft, begin, drafts, read_answers
from kiosk.catalog.roster.answers import write_answers
from kiosk.catalog.roster.order_start import remember

STEPS = frozenset({"os.rename", "os.mkdir", "os.remove", "os.rmdir", "shutil.rmtree"})
HEADS = {"number": "Rückennummer", "name": "Spielername", "size": "Größe"}


def as_answer(answer: str) -> Answer:
    return Answer(decision=answer) if answer in {"keep", "leave-out"} else Answer(text=answer[1:-1])


def first_choices(catalog: Catalog) -> tuple[str, str, str]:
    """Return the keys of a recipe, a fabric and a press of the shop."""
    return next(iter(catalog.recipes)), next(iter(catalog.fabrics)), next(iter(catalog.presses))


def take(jobs: Path, file: Path, catalog: Catalog, acks: int | None = None) -> Path:
    """Take an order to the end; each answer is acknowledged on `acks` once it is saved."""
    draft = begin(file, jobs, "Divers", catalog)
    order = draft.order()
    recipe, fabric, press = first_choices(catalog)
    draft.save(
        replace(
            order, recipe=recipe, fabric=fabric, press=press, columns=HEADS, unused=("Bemerkung",)
        )
    )
    while open_ := draft.status(catalog, lambda job: ()).open:
        fault = open_[0]
        cause = fault.problem.id.rpartition(".")[2]
        draft.answer((fault, as_answer(CSV_ANSWERS[fault.line, fault.key, cause] or "keep")))
        if acks is not None:
            os.write(acks, f"{fault.id}\n".encode())
    remember(jobs.parent / "recipes", draft, catalog)
    return draft.finish()


def killed(step: int, jobs: Path, file: Path) -> tuple[bool, list[str]]:
    """Take an order in a process killed at its `step`th write; return its acknowledgements."""
    catalog = own_catalog()
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        steps_left = step

        def hook(event: str, args: tuple[object, ...]) -> None:
            nonlocal steps_left
            if event in STEPS or (event == "open" and str(jobs) in str(args[0]) and args[1] != "r"):
                steps_left -= 1
                if steps_left == 0:
                    os._exit(9)

        sys.addaudithook(hook)
        take(jobs, file, catalog, writer)
        os._exit(0)
    os.close(writer)
    with os.fdopen(reader) as pipe:
        acknowledged = pipe.read().split()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9, acknowledged


def test_a_kill_at_any_step_leaves_a_draft_or_a_whole_job(tmp_path: Path) -> None:
    file = write_all(tmp_path / "inbox")[0]
    (tmp_path / "recipes").mkdir()
    catalog, jobs, step = own_catalog(), tmp_path / "jobs", 1
    while True:
        ended, acknowledged = killed(step, jobs, file)
        if not ended:
            break
        whole = list_jobs(jobs)
        assert all(read_job(each, catalog)[1] == () for each in whole)
        unfinished = drafts(jobs)
        assert len(unfinished) + len(whole) <= 1
        assert unfinished or whole or not acknowledged
        for draft in unfinished:
            assert set(acknowledged) <= draft.answers().keys()
            draft.status(catalog, lambda job: ())
            draft.delete()
        for each in whole:
            OrderDraft(each).delete()
        step += 1
    assert step > 30
    assert [each.name for each in list_jobs(jobs)] == ["divers"]


@pytest.mark.parametrize(
    "content", ["unused: [Bemerkung\n", "- Bemerkung\n", "&a x: *a\n", "[" * 5000, "unused: \xff\n"]
)
def test_a_faulty_headings_file_is_never_overwritten(content: str, tmp_path: Path) -> None:
    """The shop's own text in that file must survive."""
    file = write_all(tmp_path / "inbox")[0]
    headings = tmp_path / "recipes" / "headings.yaml"
    headings.parent.mkdir()
    headings.write_bytes(content.encode("latin-1"))
    with pytest.raises(CannotOrder) as refused:
        take(tmp_path / "jobs", file, own_catalog())
    assert refused.value.message.id == "catalog.order.headings"
    assert headings.read_bytes() == content.encode("latin-1")
    headings.write_text("# our own, the list of the club")
    take(tmp_path / "jobs", file, own_catalog())
    assert headings.read_text("utf-8").startswith("# our own, the list of the club\n")
    assert 'unused: ["Bemerkung"]' in headings.read_text("utf-8")


WORDS = st.text(max_size=100) | st.sampled_from(["keep", "leave-out", "choice-1", "", "AL", "00"])


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    data=st.binary(max_size=300) | st.text(max_size=300).map(lambda t: t.encode("utf-8", "replace"))
)
def test_any_answers_file_is_read_or_refused(tmp_path: Path, data: bytes) -> None:
    path, notes = tmp_path / "A.yaml", Notes("A.yaml")
    path.write_bytes(data)
    try:
        read_answers(path, notes)
    except Unsound:
        assert notes.hard


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(texts=st.lists(WORDS.filter(lambda t: t == t.strip() and t.isprintable() and len(t) <= 80)))
def test_written_answers_are_read_back_unchanged(tmp_path: Path, texts: list[str]) -> None:
    path = tmp_path / "answers.yaml"
    answers = {f"{n}.name.mixed.00": Answer(text=text) for n, text in enumerate(texts)}
    answers |= {"1.size.bare_size.00": Answer(decision="keep")}
    write_answers(path, answers)
    notes = Notes("")
    assert read_answers(path, notes) == answers
    assert notes.faults == ()
    assert path.stat().st_mode & 0o777 == 0o600


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    rows=st.lists(
        st.lists(
            st.sampled_from([
                "", "7", "07", "L", "YM", "Mara", "MARA", "O'X", "O’X", "TRUE", "2024-10-12", "7,0",
                "Ｋ", "=A1", "李",
            ]),
            min_size=3, max_size=4,
        ),
        min_size=1, max_size=6,
    ),
    answers=st.lists(WORDS, min_size=40, max_size=40),
)  # fmt: skip
def test_any_order_becomes_a_job_or_keeps_open_questions(
    tmp_path: Path, rows: list[list[str]], answers: list[str]
) -> None:
    """Whatever the answers, the questions end and no answer is lost."""
    file = tmp_path / "o.csv"
    text = "number;size;name\n" + "".join(";".join(row) + "\n" for row in rows)
    file.write_text(text, "utf-8")
    catalog = own_catalog()
    draft = begin(file, tmp_path / "jobs", "o", catalog)
    order = draft.order()
    recipe, fabric, press = first_choices(catalog)
    draft.save(replace(order, recipe=recipe, fabric=fabric, press=press))
    for answer in answers:
        open_ = draft.status(catalog, lambda job: ()).open
        if not open_:
            break
        draft.answer(
            (open_[0], as_answer(answer if answer in {"keep", "leave-out"} else f'"{answer}"'))
        )
    status = draft.status(catalog, lambda job: ())
    if status.job is not None and not status.open and not status.faults:
        folder = draft.finish()
        assert read_job(folder, catalog)[1] == ()
        OrderDraft(folder).delete()
    else:
        assert status.open or status.faults
        draft.delete()


def test_an_order_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    file = write_all(tmp_path)[0]
    (tmp_path / "jobs").write_text("no folder", "utf-8")
    with pytest.raises(CannotOrder):
        begin(file, tmp_path / "jobs", "Divers", own_catalog())
    with pytest.raises(CannotOrder):
        begin(tmp_path / "none.csv", tmp_path, "Divers", own_catalog())
    with pytest.raises(CannotOrder):
        begin(tmp_path / "a.pdf", tmp_path, "Divers", own_catalog())
