"""Begin an order from its file, with the headings that the shop knows already."""

from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import yaml

from kiosk.catalog.base import alone_in
from kiosk.catalog.base.files import OWNERS_ALONE, read_bytes, write_whole
from kiosk.catalog.base.notes import Notes, Unsound, say, word_problem
from kiosk.catalog.model.catalog import Catalog
from kiosk.catalog.roster import headers
from kiosk.catalog.roster.job import UNFINISHED, free_key, holds_job
from kiosk.catalog.roster.order import ENDINGS, OrderDetails, OrderDraft, cannot, writing
from kiosk.catalog.roster.order_columns import CannotOrder


def begin(
    file: Path, jobs: Path, title: str, catalog: Catalog, ending: str = UNFINISHED
) -> OrderDraft:
    """Begin an order from a copy of `file`, which itself is not touched.

    Headings that the shop has answered before are assigned as then. Raises CannotOrder.
    """
    notes = Notes(file.name)
    if file.suffix.lower() not in ENDINGS:
        raise CannotOrder(say("catalog.order.ending", endings=ENDINGS))
    try:
        data = read_bytes(file, notes)
    except Unsound as problem:
        why = notes.faults[0].problem
        if why.id == "catalog.file.too_large":
            why = say("catalog.roster.too_large", **why.values)
        raise CannotOrder(why) from problem
    name = file.name if word_problem(file.name) is None else f"order{file.suffix.lower()}"
    with alone_in(jobs):  # two stations may begin orders with the same title
        draft = OrderDraft(jobs / f".{free_key(title, jobs, ending)}{ending}")
        draft.delete()  # a killed process may have left half a draft
        try:
            writing(lambda: draft.folder.mkdir(parents=True))
            writing(lambda: write_whole(draft.folder / name, data, OWNERS_ALONE))
            draft.save_answers({})
            draft.save(
                OrderDetails(title=title if word_problem(title) is None else draft.key, file=name)
            )
        except CannotOrder:
            draft.delete()  # it holds names
            raise
    _recall(draft, catalog)
    return draft


def _recall(draft: OrderDraft, catalog: Catalog) -> None:
    """Assign headings as the shop answered before, if their spelling is not known."""
    with suppress(CannotOrder):  # reported when the columns are shown
        order, columns, unused = draft.order(), dict[str, str](), list[str]()
        for each in draft.columns().columns:
            field = catalog.headings.get(each.header.casefold()) if not each.field else None
            if field in headers.COLUMNS and field not in columns:
                columns[field] = each.header
            elif field == headers.UNUSED:
                unused.append(each.header)
        if columns or unused:
            draft.save(replace(order, columns=columns, unused=tuple(unused)))


def drafts(jobs: Path) -> tuple[OrderDraft, ...]:
    """Return the orders begun in `jobs` that are not jobs yet, by name."""
    with suppress(OSError):
        folders = sorted(
            p for p in jobs.iterdir() if p.name.startswith(".") and p.suffix == UNFINISHED
        )
        return tuple(OrderDraft(folder) for folder in folders if holds_job(folder))
    return ()


def remember(recipes: Path, draft: OrderDraft, catalog: Catalog) -> None:
    """Add an order's headings to the shop's file, except known spellings. Raises CannotOrder."""
    order = draft.order()
    pairs = [*order.columns.items(), *((headers.UNUSED, header) for header in order.unused)]
    try:
        headers.note_headings(recipes / headers.HEADINGS, pairs, catalog.headings)
    except OSError as problem:
        raise cannot("catalog.order.unwritten", problem) from problem
    except (UnicodeDecodeError, KeyError, yaml.YAMLError) as problem:
        raise CannotOrder(say("catalog.order.headings", file=headers.HEADINGS)) from problem
