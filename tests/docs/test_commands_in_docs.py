"""Every command in the docs does what its page says, and every output shown there is the true one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.docs.blocks import blocks, commands_of, spans
from tests.docs.pages import BESIDE, LEFT_ALONE, ROOT, groups, is_left_alone, pages
from tests.docs.sandbox import Sandbox, is_shown, walk


def _name(group: list[Path]) -> str:
    return (group[0] if len(group) == 1 else group[0].parent).relative_to(ROOT).as_posix()


@pytest.mark.parametrize("group", groups(), ids=_name)
def test_commands_run_and_say_what_the_page_shows(group: list[Path], tmp_path: Path) -> None:
    sandbox = Sandbox.made(tmp_path)
    for path in group:
        page = path.read_text(encoding="utf-8")
        for command, ran in walk(page, sandbox):
            where = f"{path.relative_to(ROOT)}:{command.line}: {command.words}"
            told = "\n".join(ran.lines)
            assert ran.code == command.code, f"{where} ends with {ran.code}:\n{told}"
            if command.shown is not None:
                assert is_shown(command.shown, ran.lines), f"{where}: run python -m docs.outputs; it says\n{told}"
        for command in spans(page):
            if not is_left_alone(command.words):
                ran = sandbox.run(command)
                assert ran.code in (0, 1), f"{path.relative_to(ROOT)}:{command.line}: {command.words}\n{ran.lines}"


def test_the_tutorial_makes_the_files_that_stand_beside_it(tmp_path: Path) -> None:
    sandbox = Sandbox.made(tmp_path)
    tutorial = ROOT / "docs" / "tutorial"
    for path in sorted(tutorial.glob("*.md")):
        for _ in walk(path.read_text(encoding="utf-8"), sandbox):
            pass
    for name in BESIDE:
        assert (tmp_path / name).read_text(encoding="utf-8") == (tutorial / name).read_text(encoding="utf-8")


def test_every_command_left_alone_stands_in_a_page_and_has_its_reason() -> None:
    found = set()
    for path in pages():
        page = path.read_text(encoding="utf-8")
        found |= {c.words for c in spans(page)} | {c.words for block in blocks(page) for c in commands_of(block)}
    for pattern in LEFT_ALONE:
        assert any(re.fullmatch(pattern, words) for words in found), pattern
    assert all(LEFT_ALONE.values())
