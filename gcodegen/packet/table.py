"""Tables as the page's template takes them: finished strings only."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; the first cell of a row is the row's heading. ``fill_in``: empty cells are for the pen."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    fill_in: bool = False

    def __post_init__(self) -> None:
        wrong = [row for row in self.rows if len(row) != len(self.head)]
        if wrong:
            raise ValueError(f"{self.caption}: {len(self.head)} columns, but a row has {len(wrong[0])}")
