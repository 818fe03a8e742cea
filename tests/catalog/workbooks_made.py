"""Helpers that make workbooks in memory and read them."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import openpyxl
from catalog_folders import job_with, own_catalog

from kiosk.catalog.base.notes import Doubt, Fault
from kiosk.catalog.model.orders import Job
from kiosk.catalog.read import read_job

ROWS: list[list[Any]] = [
    ["line", "size", "name", "number"],
    [1, "AL", "MUÑERA", 7],
    [2, "YM", " O'TARRY ", "00"],
]


def workbook(*sheets: list[list[Any]]) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for n, rows in enumerate(sheets):
        sheet = book.create_sheet(f"Sheet {n}")
        for row in rows:
            sheet.append(row)
    return book


def saved(book: openpyxl.Workbook) -> bytes:
    buffer = io.BytesIO()
    book.save(buffer)
    return buffer.getvalue()


def read(tmp_path: Path, data: bytes) -> tuple[Job | None, tuple[Fault, ...]]:
    folder = job_with(tmp_path, "", roster="roster.xlsx")
    (folder / "roster.xlsx").write_bytes(data)
    return read_job(folder, own_catalog())


def doubt(fault: Fault) -> Doubt:
    assert fault.doubt is not None
    return fault.doubt
