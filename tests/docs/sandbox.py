"""A folder of its own for a page of the docs, in which its commands are run as its reader would run them."""

from __future__ import annotations

import contextlib
import io
import re
import runpy
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from gcodegen import cli
from tests.docs.blocks import LEFT_OUT, Block, Command, blocks, commands_of
from tests.docs.pages import is_left_alone

ROOT = Path(__file__).parents[2]
COLUMNS = 91
"""Width of the terminal on which the outputs of the pages are shown, and one more."""
STAND_INS = {
    "JOB...": "jobs/chuck-125.toml jobs/chuck-160.toml",
    "JOB": "jobs/chuck-160.toml",
    "[JOB]": "jobs/chuck-160.toml",
    "READINGS": "readings.csv",
    "PROGRAM": "stand-in/mill.nc",
    "FILE": "new-job.toml",
    "DIR": "out",
    "FOLDER": "my-templates",
    "CODE": "hole-missing",
    "NAME": "screw",
    "LENGTH": "0.01",
    "DEGREES": "15",
}
"""What the words in capitals stand for when a command is tried."""
READINGS = "angle_deg,value\n" + "".join(
    f"{45 * k},{v}\n" for k, v in enumerate((0.05, 0.09, 0.05, 0.03, 0.01, 0, 0.01, 0.03))
)


MOST_ENTERS = 300
SHOWN = "text"
"""The language of a block that shows lines of a file."""


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command did: exit code and what a terminal shows, both streams in one, in lines."""

    code: int
    lines: tuple[str, ...]


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class _Aside(io.StringIO):
    """Standard error beside the terminal: its text is shown in order, and no progress bar is drawn."""

    def __init__(self, shown: io.StringIO) -> None:
        super().__init__()
        self._shown = shown

    def write(self, text: str, /) -> int:
        return self._shown.write(text)


class _Typed(io.StringIO):
    """What a person types, shown on the terminal as it would be."""

    def __init__(self, typed: tuple[str, ...], shown: io.StringIO) -> None:
        lines = [*typed[:-1], *[""] * MOST_ENTERS] if typed[-1:] == (LEFT_OUT,) else typed
        super().__init__("".join(f"{line}\n" for line in lines))
        self._shown = shown

    def isatty(self) -> bool:
        return True

    def readline(self, size: int | None = -1, /) -> str:
        line = super().readline(-1 if size is None else size)
        self._shown.write(line)
        return line


_DONE: dict[object, tuple[Ran, dict[str, bytes]]] = {}
"""Every command that was run with what stood in its folder, so that pages that begin alike cost once."""


@dataclass(frozen=True, slots=True)
class Sandbox:
    """A folder with the shipped jobs and templates and nothing else."""

    folder: Path

    @classmethod
    def made(cls, folder: Path) -> Sandbox:
        for name in ("jobs", "post_templates"):
            shutil.copytree(ROOT / name, folder / name)
        return cls(folder)

    def take(self, block: Block) -> None:
        """Write the file that a block is, or change the one that it changes."""
        path = self.folder / block.file
        if not block.file or block.language == SHOWN:
            return
        if block.language != "diff":
            path.parent.mkdir(exist_ok=True)
            path.write_text(block.text, encoding="utf-8")
            return
        text = f"\n{path.read_text(encoding='utf-8')}"
        for hunk in re.split(r"^@@\n", block.text, flags=re.MULTILINE):
            lines = hunk.splitlines()
            before = "\n".join(line[1:] for line in lines if not line.startswith("+"))
            after = "\n".join(line[1:] for line in lines if not line.startswith("-"))
            assert text.count(f"\n{before}\n") == 1, f"{block.file} has these lines not just once:\n{before}"
            text = text.replace(f"\n{before}\n", f"\n{after}\n")
        path.write_text(text.removeprefix("\n"), encoding="utf-8")

    def lines_of(self, block: Block) -> tuple[str, ...]:
        """Return the lines of the file that a block shows."""
        return tuple((self.folder / block.file).read_text(encoding="utf-8").splitlines())

    def run(self, command: Command) -> Ran:
        """Run a command of ours, in this process, in the folder."""
        words = self._words(command.words)
        if words[0] in ("new", "dial") and command.typed is None and command.code is None:
            command = Command(line=command.line, words=command.words, code=None, typed=(LEFT_OUT,))
        if command.code is None and words[0] == "new":  # a page may name the same file again
            (self.folder / words[1]).unlink(missing_ok=True)
        key = (tuple(words), command.typed, tuple(self._files().items()))
        if key not in _DONE:
            ran = self._run(words, command.typed)
            _DONE[key] = (ran, self._files())
        ran, files = _DONE[key]
        for name in self._files().keys() - files.keys():
            (self.folder / name).unlink()
        for name, content in files.items():
            (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
            (self.folder / name).write_bytes(content)
        return ran

    def _files(self) -> dict[str, bytes]:
        found = sorted(p for p in self.folder.rglob("*") if p.is_file())
        return {p.relative_to(self.folder).as_posix(): p.read_bytes() for p in found}

    def _words(self, text: str) -> list[str]:
        """Return the words after the program's name, what stands in capitals filled in."""
        needed = set(re.split(r"[ =]", text))
        filled = " ".join(STAND_INS.get(word, word) for word in text.split())
        words = shlex.split(filled)
        if words[:2] == ["python3", "start.py"]:
            words = _through_start(words[1:])
        assert words[0] == "gcodegen", text
        if needed & {"READINGS"}:
            (self.folder / "readings.csv").write_text(READINGS, encoding="utf-8")
        if needed & {"PROGRAM"} and not (self.folder / "stand-in").exists():
            self._run(["make", "jobs/chuck-160.toml", "-o", "stand-in"], None)
        words = words[1:] or ["--help"]
        return [*words, "--help"] if len(words) == 1 and words[0] not in ("schema", "--help", "--version") else words

    def _run(self, words: list[str], typed: tuple[str, ...] | None) -> Ran:
        shown = _Terminal()
        with pytest.MonkeyPatch.context() as patch:
            patch.chdir(self.folder)
            patch.setattr(sys, "argv", ["gcodegen", *words])
            patch.setattr(sys, "stdin", io.StringIO() if typed is None else _Typed(typed, shown))
            patch.setenv("COLUMNS", str(COLUMNS))
            patch.setenv("NO_COLOR", "1")
            with (
                contextlib.redirect_stdout(shown),
                contextlib.redirect_stderr(_Aside(shown)),
                pytest.raises(SystemExit) as end,
            ):
                cli.main()
        lines = shown.getvalue().split("\n")
        assert isinstance(end.value.code, int)
        return Ran(end.value.code, tuple(line.rstrip() for line in lines[:-1]))


def _through_start(words: list[str]) -> list[str]:
    """Return the call of ours that ``python3 start.py`` makes of its words, asked of start.py itself."""
    asked: list[list[str]] = []

    def note(call: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        asked.append(call)
        return subprocess.CompletedProcess(call, 0)

    with pytest.MonkeyPatch.context() as patch:
        started = runpy.run_path(str(ROOT / "start.py"))
        patch.setitem(started["main"].__globals__, "_set_up", lambda kind: sys.executable)
        patch.setattr(subprocess, "run", note)
        patch.setattr(sys, "argv", words)
        assert started["main"]() == 0
    assert asked[0][:3] == [sys.executable, "-m", "gcodegen"], words
    return asked[0][2:]


def walk(page: str, sandbox: Sandbox) -> Iterator[tuple[Command, Ran]]:
    """Do what a page says, from its top to its end; give each command that is run with what it did."""
    for block in blocks(page):
        sandbox.take(block)
        if block.language == SHOWN and block.file:
            assert is_excerpt(block.lines, sandbox.lines_of(block)), f"{block.file}: run python -m docs.outputs"
        for command in commands_of(block):
            if not is_left_alone(command.words):
                yield command, sandbox.run(command)


def is_shown(shown: tuple[str, ...], lines: tuple[str, ...]) -> bool:
    """Return whether the lines shown are those of an output; ``...`` stands for one or more of any."""
    if not shown:
        return not lines
    if shown[0].strip() == LEFT_OUT:
        return any(is_shown(shown[1:], lines[k:]) for k in range(1, len(lines) + 1))
    return bool(lines) and shown[0].rstrip() == lines[0] and is_shown(shown[1:], lines[1:])


def is_excerpt(shown: tuple[str, ...], lines: tuple[str, ...]) -> bool:
    """Return whether the lines shown stand together in a text, from anywhere to anywhere."""
    return is_shown((LEFT_OUT, *shown, LEFT_OUT), ("", *lines, ""))
