"""Stops that say nothing where the work is turned by hand: the cause of much that seems wrong after them."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.words import words_of
from gcodegen.rs274.motions import Stop

_CONSEQUENCES = {"hole-missing", "hole-cut-twice"}
_MOST_LINES = 6
_TOOL = re.compile(r"T\s*\d", re.IGNORECASE)


def name_silent_stops(moments: Iterable[Moment], cuts: Iterable[HoleCut], setup: MillSetup, book: Notebook) -> None:
    """Name the cause where the work is turned by hand, holes lack or come twice, and stops say nothing.

    One finding at the first such stop stands for all the strokes after it that seem to go where one went before:
    they are judged as if nobody had turned the work, which is not what is wrong with them.
    """
    if setup.job.mill.rotary != "by hand" or not _CONSEQUENCES & {f.code for f in book.findings}:
        return
    taps = {cut.line for cut in cuts if cut.by_hand}
    stops = [m.step for m in moments if isinstance(m.step, Stop) and not m.step.optional]
    silent = [s.line for s in stops if not s.message.strip() and s.line not in taps and not _names_tool(s.line, book)]
    if not silent:
        return
    first, shown = silent[0], ", ".join(map(str, silent[:_MOST_LINES]))
    more = f" and {len(silent) - _MOST_LINES} more" if len(silent) > _MOST_LINES else ""
    what = f"{len(silent)} stops say nothing, at lines {shown}{more}" if len(silent) > 1 else "a stop says nothing"
    says = f"{what}: neither the operator nor this check knows to where the work is turned, so it was taken to stay"
    marked = setup.job.mill.dialect.comments == "left out"
    form = (
        "N9, the stop's count in two digits and the hole's number in two" if marked else "INDEX WORK TO and the angle"
    )
    book.findings[:] = [f for f in book.findings if f.code != "hole-cut-twice" or f.line < first]
    book.add("index-unread", first, says, f"Write {form} at each stop that turns the work, and check again.")


def _names_tool(line: int, book: Notebook) -> bool:
    return bool(_TOOL.search(words_of(book.block(line))))
