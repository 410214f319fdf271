"""What can be wrong with a template, and how much it may take."""

from __future__ import annotations

LARGEST_TEMPLATE = 100_000  # bytes; ours have a few hundred
LARGEST_TEXT = 1_000_000  # characters that the templates of one program may put out; ours put out ten thousand
MOST_TURNS = 100_000  # of the loops and included templates of one text


class Fault(Exception):  # noqa: N818 - it is caught here, and becomes an error of the project's own family
    """What is wrong with a template: where (file and line), what, and what to do."""

    def __init__(self, says: str, do: str = "Put the template right", where: str = "") -> None:
        super().__init__(says)
        self.says = says
        self.do = do
        self.where = where
