"""A bar that shows how far the work is, on a terminal alone."""

from __future__ import annotations

import os
import sys
import time
from types import TracebackType

from gcodegen.wrap import width_of_terminal

_BAR_AFTER_S = 1.0  # shorter work needs no bar
_BAR_WIDTH = 30


def _may_move() -> bool:
    """Return whether standard error is a terminal that can write over its own line."""
    return sys.stderr.isatty() and os.environ.get("TERM", "dumb") != "dumb"


class ProgressBar:
    """A bar on standard error, on a terminal alone and only once the work has taken a second."""

    def __init__(self, label: str) -> None:
        self._label = label
        self._start = time.monotonic()
        self._shown = ""

    def __enter__(self) -> ProgressBar:
        """Begin; nothing is drawn yet."""
        return self

    def __call__(self, done: float) -> None:
        """Draw how much is done, 0 to 1."""
        if not _may_move() or time.monotonic() - self._start < _BAR_AFTER_S:
            return
        width = min(_BAR_WIDTH, (width_of_terminal(sys.stderr) or _BAR_WIDTH) - len(self._label) - len(" [] 100%"))
        full = round(width * min(max(done, 0.0), 1.0))
        shown = f"{self._label} [{'=' * full}{' ' * (width - full)}] {done:4.0%}"
        if shown != self._shown:
            self._shown = shown
            sys.stderr.write(f"\r{shown}")
            sys.stderr.flush()

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        """Wipe the bar off, so that what follows stands on a clean line."""
        if self._shown:
            sys.stderr.write(f"\r{' ' * len(self._shown)}\r")
            sys.stderr.flush()
