"""Put today's outputs into the pages of the docs: ``python -m docs.outputs`` from the project's folder.

Run it after an intended change of what the program says, and read the difference. Where a page leaves lines out
(``...``) each piece shown goes from the line that is most like its first line of before to the one most like its last.
"""

from __future__ import annotations

import difflib
import shutil
import sys
import tempfile
from pathlib import Path

from tests.docs.blocks import LEFT_OUT, Block, blocks, commands_of
from tests.docs.pages import BESIDE, groups, is_left_alone
from tests.docs.sandbox import SHOWN, Sandbox


def renewed(shown: tuple[str, ...], lines: tuple[str, ...]) -> list[str]:
    """Return what is shown of an output after it has changed to ``lines``."""
    if LEFT_OUT not in (line.strip() for line in shown):
        return list(lines)
    made: list[str] = []
    at = 0
    for part in _parts(shown):
        if part == [LEFT_OUT]:
            made.append(LEFT_OUT)
            continue
        at = _most_like(part[0], lines, at) if made else 0
        end = _most_like(part[-1], lines, at) + 1
        made += lines[at:end]
        at = end
    return made


def _parts(shown: tuple[str, ...]) -> list[list[str]]:
    parts: list[list[str]] = [[]]
    for line in shown:
        if line.strip() == LEFT_OUT:
            parts += [[LEFT_OUT], []]
        else:
            parts[-1].append(line)
    return [part for part in parts if part]


def _most_like(line: str, lines: tuple[str, ...], start: int) -> int:
    def likeness(k: int) -> float:
        return difflib.SequenceMatcher(None, line, lines[k], autojunk=False).ratio()

    return max(range(start, len(lines)), key=likeness, default=start)


def renew(paths: list[Path]) -> list[str]:
    """Rewrite the outputs in pages that are read one after another; return what went wrong."""
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        sandbox = Sandbox.made(Path(folder))
        for path in paths:
            page = path.read_text(encoding="utf-8").split("\n")
            new: list[tuple[int, Block, tuple[str, ...], list[str]]] = []
            for block in blocks("\n".join(page)):
                sandbox.take(block)
                if block.language == SHOWN and block.file:
                    lines = renewed((LEFT_OUT, *block.lines), sandbox.lines_of(block))[1:]
                    new.append((block.first, block, block.lines, lines))
                for command in commands_of(block):
                    if is_left_alone(command.words):
                        continue
                    ran = sandbox.run(command)
                    if ran.code != command.code:
                        wrong.append(f"{path.name}:{command.line}: {command.words} ends with {ran.code}")
                    if command.shown is not None:
                        new.append((command.line, block, command.shown, renewed(command.shown, ran.lines)))
            for first, block, shown, lines in reversed(new):
                page[first : first + len(shown)] = [f"{block.indent}{s}".rstrip() for s in lines]
            path.write_text("\n".join(page), encoding="utf-8")
        for name in BESIDE:
            if (paths[0].parent / name).exists():
                shutil.copy(Path(folder) / name, paths[0].parent / name)
    return wrong


if __name__ == "__main__":
    for pages in groups():
        for line in renew(pages):
            sys.stderr.write(f"{line}\n")
