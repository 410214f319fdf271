"""Reads a page of the docs: its blocks of code, the commands in them with the output shown, and commands in its lines.

How the pages say more about a block:

- a fence's first word is the language; a file name after it (``toml my-mill.toml``) makes the block that file's text;
- ``text FILE`` shows lines that stand in that file already;
- ``diff FILE`` changes that file: lines with ``-`` go, lines with ``+`` come; ``@@`` goes on at another place;
- ``<!-- typed: 0.05 | 0.04 | ... -->`` before a block is what a person types into its commands, ``|`` being Enter and
  ``...`` Enter and nothing else to the end;
- a command that ends with ``# exit code 1`` ends with that code, any other with 0;
- a line ``...`` in an output stands for lines that are left out.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass

LEFT_OUT = "..."
COMMAND = re.compile(r"(?:\$ )?((?:gcodegen |python3? |pip |\.venv/|pytest |ruff |mypy ).*)")
_SPAN = re.compile(r"(?<!`)`([^`]+)`(?!`)")
_BULLET = re.compile(r"(\s*)([-*]|\d+\.)(\s+)\S")
_ENDS_WITH = re.compile(r"# exit code (\d)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A block of code; ``first`` is the index of its first line in the page, ``indent`` stands before its lines."""

    first: int
    lines: tuple[str, ...]
    indent: str = ""
    language: str = ""
    file: str = ""
    typed: tuple[str, ...] | None = None

    @property
    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """A command of a page; ``shown`` is its output there, or None where none is shown."""

    line: int
    words: str
    code: int | None = 0
    typed: tuple[str, ...] | None = None
    shown: tuple[str, ...] | None = None


def blocks(page: str) -> list[Block]:
    """Return every block of code of a page, fenced or set in, in order."""
    return list(_blocks(page.split("\n")))


def _blocks(lines: list[str]) -> Iterator[Block]:
    at, content, typed = 0, 0, None
    while at < len(lines):
        line = lines[at]
        if line.strip() and not line.startswith(" "):
            content = 0
        if (told := re.fullmatch(r"<!-- typed: (.*) -->", line)) is not None:
            typed = tuple(part.strip() for part in told.group(1).split("|"))
        elif (fence := re.fullmatch(r"( *)```(\w*) ?(.*)", line)) is not None:
            end = next(k for k in range(at + 1, len(lines)) if lines[k].strip() == "```")
            inside = tuple(text.removeprefix(fence.group(1)) for text in lines[at + 1 : end])
            yield Block(
                first=at + 1,
                lines=inside,
                indent=fence.group(1),
                language=fence.group(2),
                file=fence.group(3).strip(),
                typed=typed,
            )
            at, typed = end, None
        elif (bullet := _BULLET.match(line)) is not None and len(bullet.group(1)) < content + 4:
            content = bullet.end() - 1
        elif line.strip() and not line.startswith(" "):
            typed = None
        elif _is_code(line, content) and not lines[at - 1].strip():
            end = at
            while end < len(lines) and (_is_code(lines[end], content) or not lines[end].strip()):
                end += 1
            while not lines[end - 1].strip():
                end -= 1
            indent = " " * (content + 4)
            inside = tuple(text.removeprefix(indent) for text in lines[at:end])
            yield Block(first=at, lines=inside, indent=indent, typed=typed)
            at, typed = end - 1, None
        at += 1


def _is_code(line: str, content: int) -> bool:
    return line.startswith(" " * (content + 4)) and bool(line.strip())


def commands_of(block: Block) -> list[Command]:
    """Return the commands of a block; after ``$`` the lines up to the next command are its output."""
    heads = [k for k, line in enumerate(block.lines) if _head(line, block) is not None]
    found = []
    for head, end in itertools.pairwise([*heads, len(block.lines)]):
        words = _head(block.lines[head], block)
        assert words is not None
        out = block.lines[head + 1 : end]
        while out and not out[-1].strip():
            out = out[:-1]
        code = _ENDS_WITH.search(words)
        *before, last = _bare(words).split(" && ")
        line = block.first + head + 1
        found += [Command(line=line, words=each, typed=block.typed) for each in before]
        shown = out if block.lines[head].startswith("$ ") and out else None
        ends = int(code.group(1)) if code else 0
        found.append(Command(line=line, words=last, code=ends, typed=block.typed, shown=shown))
    return found


def _head(line: str, block: Block) -> str | None:
    """Return the command that begins in a line, or None; where a block has a ``$``, only lines with it do."""
    found = COMMAND.fullmatch(line)
    if found is None or block.language not in ("", "sh") or block.file:
        return None
    if any(text.startswith("$ ") for text in block.lines) and not line.startswith("$ "):
        return None
    return found.group(1)


def _bare(words: str) -> str:
    """Return a command without the comment or the meaning that stands behind it."""
    return re.split(r" {2,}|  *#", words)[0].strip()


def spans(page: str) -> list[Command]:
    """Return the commands that stand within the lines of a page, each once."""
    lines = page.split("\n")
    for block in blocks(page):
        for k in range(block.first, block.first + len(block.lines)):
            lines[k] = ""
    text = "\n".join("" if line.strip().startswith("```") else line for line in lines)
    found = {}
    for span in _SPAN.finditer(text):
        words = " ".join(span.group(1).split())
        line = text.count("\n", 0, span.start()) + 1
        for each in words.split(" && "):
            if COMMAND.fullmatch(each) and each not in found and " " in each:
                found[each] = Command(line=line, words=each, code=None)
    return list(found.values())
