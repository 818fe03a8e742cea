"""Which numbers a league's code allows, by season. All of it is data: rules change."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CodeRule:
    """The numbers, as text, of the seasons that begin in the years `first` to `last`.

    None leaves that end open. `not_together` may not stand in one set all at once.
    """

    numbers: frozenset[str]
    source: str
    first: int | None = None
    last: int | None = None
    not_together: frozenset[str] = frozenset()

    def holds_in(self, year: int) -> bool:
        """Tell whether the rule is that of the season which begins in `year`."""
        return (self.first is None or self.first <= year) and (
            self.last is None or year <= self.last
        )


@dataclass(frozen=True, slots=True)
class Code:
    """A league's code: its rules, oldest first, none overlapping."""

    key: str
    title: str
    rules: tuple[CodeRule, ...]

    def rule(self, year: int | None) -> CodeRule | None:
        """Return the rule of the season that begins in `year`.

        None where no rule is that season's, or where there are several and no year is given.
        """
        if year is None:
            return self.rules[0] if len(self.rules) == 1 else None
        return next((rule for rule in self.rules if rule.holds_in(year)), None)


def season_text(year: int) -> str:
    """Return the season as it is written: `2022-23`."""
    return f"{year}-{(year + 1) % 100:02d}"
