"""What a command has to do with its shell: its two streams, and being told to stop.

Whoever pipes into a program that reads only the first lines has lost interest in the words, not in the exit code.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
import threading
from typing import NoReturn, TextIO

from gcodegen.errors import OutputError


def say(text: str) -> None:
    """Write to standard output."""
    _write(sys.stdout, text)


def remark(text: str) -> None:
    """Write to standard error."""
    _write(sys.stderr, text)


def finish() -> None:
    """Bring out what is still kept back.

    Raises
    ------
    OutputError
        When standard output cannot take it: a disk is full.
    """
    _write(sys.stderr, "", at_once=True)
    _write(sys.stdout, "", at_once=True)


def printable_streams() -> None:
    """Let no character stop the output: what a terminal's own alphabet lacks is shown by its number."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")


def stop_in_order() -> None:
    """Let a request to end (SIGTERM, SIGHUP) take what is half written away first, as Ctrl-C does."""

    def stop(number: int, _frame: object) -> NoReturn:
        sys.exit(128 + number)

    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name) and threading.current_thread() is threading.main_thread():
            signal.signal(getattr(signal, name), stop)


def _write(stream: TextIO, text: str, *, at_once: bool = False) -> None:
    try:
        stream.write(text)
        if at_once:
            stream.flush()
    except BrokenPipeError:
        _into_nothing(stream)
    except OSError as error:
        _into_nothing(stream)
        if stream is sys.stdout:
            do = "Make room, or send the output elsewhere"
            raise OutputError(f"cannot write: {error.strerror}", where="standard output", do=do) from None


def _into_nothing(stream: TextIO) -> None:
    """Send what else is written where it does no harm, also what Python itself writes at its end."""
    with contextlib.suppress(OSError, ValueError):
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, stream.fileno())
        os.close(nothing)
