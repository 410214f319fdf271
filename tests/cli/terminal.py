"""Calls the command line on a terminal of a chosen width."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from pathlib import Path

from tests.cli.calling import ROOT

BOLD = re.compile(r"\x1b\[[01]m")


def on_terminal(words: list[str], columns: int, folder: Path = ROOT, typed: str = "", **environment: str) -> str:
    """Return what a terminal of this width is sent, both streams, and shows of what is typed; then the input ends."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    clean = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR")}
    env = {**clean, "PYTHONPATH": str(ROOT), "TERM": "xterm", "PYTHONIOENCODING": "utf-8", **environment}
    call_words = [sys.executable, "-m", "gcodegen", *words]
    with subprocess.Popen(call_words, stdout=slave, stderr=slave, stdin=slave, env=env, cwd=folder) as running:
        os.close(slave)
        os.write(master, typed.encode() + b"\x04")
        data = b""
        while True:
            try:
                piece = os.read(master, 65536)
            except OSError:  # the other end is closed
                break
            if not piece:
                break
            data += piece
        running.wait(60)
    os.close(master)
    return data.decode("utf-8").replace("\r\n", "\n")
