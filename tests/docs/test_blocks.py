"""The reader of the docs' own pages: it finds what is there, and a page that lies is caught."""

from __future__ import annotations

from pathlib import Path

import pytest

from docs.outputs import renewed
from tests.docs.blocks import blocks, commands_of, spans
from tests.docs.pages import is_left_alone
from tests.docs.sandbox import Sandbox, is_excerpt, is_shown, walk

PAGE = """# A page

Text with `gcodegen explain
screw` in it, and `gcodegen` alone.

    $ gcodegen --version
    gcodegen 0.0.0

- a list

  with a paragraph

      code = "in the list"

```diff jobs/chuck-100.toml
-unit = "mm"
+unit = "in"
```

<!-- typed: a | | ... -->

    gcodegen new x.toml   # exit code 2
"""


def test_blocks_commands_and_spans_are_found() -> None:
    first, in_list, diff, last = blocks(PAGE)
    assert in_list.lines == ('code = "in the list"',)
    assert (diff.language, diff.file, len(diff.lines)) == ("diff", "jobs/chuck-100.toml", 2)
    assert last.typed == ("a", "", "...")
    (version,), (new,) = commands_of(first), commands_of(last)
    assert (version.words, version.code, version.shown) == ("gcodegen --version", 0, ("gcodegen 0.0.0",))
    assert (new.words, new.code, new.shown) == ("gcodegen new x.toml", 2, None)
    assert commands_of(in_list) == commands_of(diff) == []
    assert [span.words for span in spans(PAGE)] == ["gcodegen explain screw"]
    assert PAGE.split("\n")[version.line - 1].strip() == "$ gcodegen --version"


@pytest.mark.parametrize(
    ("shown", "told", "same"),
    [
        ("a b", "a b", True),
        ("a b", "a b c", False),
        ("a ... c", "a b b c", True),
        ("a ... c", "a c", False),
        ("a ...", "a b", True),
        ("... c", "a b", False),
        ("", "a", False),
    ],
)
def test_a_shown_output_is_compared_line_by_line(shown: str, told: str, same: bool) -> None:
    assert is_shown(tuple(shown.split()), tuple(told.split())) is same


def test_an_excerpt_stands_together() -> None:
    lines = ("a", "b", "c", "d")
    assert is_excerpt(("b", "c"), lines)
    assert is_excerpt(("a", "...", "d"), lines)
    assert is_excerpt(lines, lines)
    assert not is_excerpt(("b", "d"), lines)


def test_what_is_shown_is_renewed_piece_by_piece() -> None:
    told = ("head", "new", "margin 0.20 mm", "why b", "tail")
    assert renewed(("old", "lines"), told) == list(told)
    assert renewed(("head", "...", "margin 0.10 mm", "why a", "..."), told) == [
        *("head", "...", "margin 0.20 mm", "why b", "...")
    ]


def test_a_lie_about_an_output_or_a_code_is_seen(tmp_path: Path) -> None:
    ((command, ran),) = list(walk("    $ gcodegen --version\n    gcodegen 0.0.0\n", Sandbox.made(tmp_path)))
    assert command.shown is not None
    assert not is_shown(command.shown, ran.lines)
    assert ran.code == 0


def test_a_change_of_lines_that_are_not_there_is_refused(tmp_path: Path) -> None:
    page = "```diff jobs/chuck-100.toml\n-no such line = 1\n+another = 2\n```\n"
    with pytest.raises(AssertionError, match="not just once"):
        list(walk(page, Sandbox.made(tmp_path)))


def test_only_what_is_named_is_left_alone() -> None:
    assert is_left_alone(".venv/bin/python -m pytest tests/docs")
    assert not is_left_alone(".venv/bin/python -m pytest tests/nowhere")
    assert not is_left_alone("gcodegen design jobs/chuck-160.toml")
    assert not is_left_alone("rm -r out")
