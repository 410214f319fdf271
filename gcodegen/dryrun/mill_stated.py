"""Whether the text says where the axes are before it cuts: an axis never named stands where the last job left it."""

from __future__ import annotations

from collections.abc import Iterable

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.words import words_of


def check_stated(cuts: Iterable[HoleCut], setup: MillSetup, book: Notebook) -> None:
    """Write down the axes that the text has not named when the first cut comes; Z is, for it is the cut's own."""
    first = min((cut.line for cut in cuts), default=None)
    if first is None:
        return
    words = words_of("\n".join(book.lines[:first]))
    mill = setup.job.mill
    for axis in ("X", "Y", mill.dialect.rotary_letter) if mill.rotary == "A" else ("X", "Y"):
        if axis not in words:
            says = f"cuts before the text has named {axis}, which stands where it was left"
            book.add("axis-not-stated", first, says, f"Go to the {axis} of the hole in an absolute move first.")
