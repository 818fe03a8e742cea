"""The program's own source as syntax trees; each file is parsed once for all tests."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


@cache
def statements(
    path: Path, but: Callable[[ast.AST], bool] = lambda node: False
) -> tuple[ast.AST, ...]:
    """Return every statement of a file, however deep, except those for which `but` is true.

    Imports are statements; expressions, most of a tree, need not be walked to find them.
    """
    return tuple(_within(tree(path), but))


def _within(node: ast.AST, but: Callable[[ast.AST], bool]) -> Iterator[ast.AST]:
    for part in ("body", "orelse", "finalbody", "handlers", "cases"):
        for each in getattr(node, part, ()):
            if not but(each):
                yield each
                yield from _within(each, but)
