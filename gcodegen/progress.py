"""A bar that shows how far the work is, on a terminal alone."""

from __future__ import annotations

import sys
import time
from types import TracebackType

_BAR_AFTER_S = 1.0  # shorter work needs no bar
_BAR_WIDTH = 30


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
        if not sys.stderr.isatty() or time.monotonic() - self._start < _BAR_AFTER_S:
            return
        full = round(_BAR_WIDTH * min(max(done, 0.0), 1.0))
        shown = f"{self._label} [{'=' * full}{' ' * (_BAR_WIDTH - full)}] {done:4.0%}"
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
