"""A tap in a floating holder: what the dry run lets pass, and each edit of it that harms."""

from __future__ import annotations

import functools
from collections.abc import Callable

import pytest

from gcodegen.dryrun.run import dry_run
from gcodegen.verdict import Severity
from tests.post.test_every_switch import program, switched

FLOATS = {"tapping": "floating holder", "rotary": "A", "tool_change": "automatic", "grouping": "by tool"}


@functools.cache
def written(cycles: bool) -> str:
    return program(switched("chuck-125", "mill", FLOATS | {"cycles": cycles}), "mill")


def stops(text: str) -> set[str]:
    job = switched("chuck-125", "mill", FLOATS).job
    return {f.code for f in dry_run(text, job, "mill").findings if f.severity is Severity.STOP}


@pytest.mark.parametrize("cycles", [True, False])
def test_a_sound_program_is_let_pass(cycles):
    assert stops(written(cycles)) == set()


def last_tap(text: str, change: Callable[[str], str]) -> str:
    head, mark, tail = text.rpartition("(TAP HOLE 4")
    changed = change(tail)
    assert changed != tail
    return head + mark + changed


HARM = {
    "reversal forgotten": (lambda t: t.replace("M5\nG4 P0.5\nM4\n", "", 1), "tap-drawn-out"),
    "started forwards again": (lambda t: t.replace("M4", "M3", 1), "tap-drawn-out"),
    "out at rapid": (lambda t: t.replace("M4\nG1 Z5.0 F184.3", "M4\nG0 Z5.0", 1), "tap-drawn-out"),
    "out at half the feed": (lambda t: t.replace("M4\nG1 Z5.0 F184.3", "M4\nG1 Z5.0 F92.1", 1), "tap-out-of-step"),
    "in at more than the pitch": (lambda t: t.replace("F184.3", "F199.5", 1), "tap-out-of-step"),
    "in at far less": (lambda t: t.replace("F184.3", "F160.0", 1), "tap-out-of-step"),
    "no speed": (lambda t: "\nS0\n" + t, "no-speed"),
    "spindle left standing": (lambda t: t.replace("M4\n", "", 1), "spindle-off-in-cut"),
}


@pytest.mark.parametrize("name", list(HARM))
def test_a_harmful_edit_is_stopped(name):
    change, code = HARM[name]
    assert code in stops(last_tap(written(False), change))


@pytest.mark.parametrize("feed", ["F171.0", "F190.0"])
def test_a_feed_within_what_the_holder_takes_is_let_pass(feed):
    assert stops(last_tap(written(False), lambda t: t.replace("F184.3", feed))) == set()
