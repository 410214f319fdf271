"""Processor time of calls, of child processes, and their memory; each beside a yardstick measured in turn."""

from __future__ import annotations

import gc
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

RUNS = 5
KIB = 1024


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: ``seconds`` of the processor for ``what``, and for ``against``, which is measured in turn."""

    what: str
    seconds: float
    against: str
    yardstick: float

    @property
    def ratio(self) -> float:
        """How many times as long as the yardstick."""
        return self.seconds / self.yardstick


def called(work: Callable[[], object]) -> float:
    """Return the processor seconds of one call."""
    gc.collect()
    begun = time.process_time()
    work()
    return time.process_time() - begun


def in_turn(what: str, work: Callable[[], object], against: str, other: Callable[[], object], runs: int = RUNS) -> Row:
    """Return the least processor times of two calls made in turn, after one of each that is not counted."""
    work(), other()
    pairs = [(called(work), called(other)) for _ in range(runs)]
    return Row(what, min(a for a, _ in pairs), against, min(b for _, b in pairs))


def cold(what: str, words: Sequence[str], runs: int = RUNS) -> Row:
    """Return the median processor time of a command in a fresh interpreter, in turn with an interpreter alone.

    ``RUN`` in a word becomes the number of the run, for what may be written only once.
    """
    bare = ("-c", "pass")
    pairs = [(_child([w.replace("RUN", str(n)) for w in words]), _child(bare)) for n in range(runs + 1)][1:]
    return Row(what, statistics.median(a for a, _ in pairs), "python -c pass", statistics.median(b for _, b in pairs))


def _child(words: Sequence[str]) -> float:
    child = subprocess.Popen([sys.executable, *words], stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    said = child.stderr.read() if child.stderr else b""
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.stderr:
        child.stderr.close()
    if child.returncode != 0:
        raise RuntimeError(f"{' '.join(words)} ended with {child.returncode}: {said.decode(errors='replace')[-400:]}")
    return usage.ru_utime + usage.ru_stime


def resident() -> int:
    """Return the bytes of memory that this process has held at most so far (Linux; its own, from its start)."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return int(status.split("VmHWM:")[1].split()[0]) * KIB


def said_by(words: Sequence[str]) -> str:
    """Return what a fresh interpreter prints."""
    return subprocess.run([sys.executable, *words], check=True, capture_output=True, text=True).stdout
