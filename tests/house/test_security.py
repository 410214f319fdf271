"""What the security page claims: each limit is the code's, and files of strangers reach nothing."""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from pathlib import Path

import pytest
from annotated_types import MaxLen

import gcodegen.check as check
import gcodegen.dial.reading_file as reading_file
import gcodegen.job.chuck as chuck
import gcodegen.job.load as load
import gcodegen.make as making
import gcodegen.rs274.blocks as blocks
import gcodegen.rs274.cycles as cycles
import gcodegen.rs274.formulas as formulas
import gcodegen.rs274.reader as reader
import gcodegen.templating.faults as faults
import gcodegen.templating.sandbox as sandbox
import gcodegen.toml_text as toml_text
import gcodegen.units as units
from gcodegen.errors import JobError, TemplateError
from gcodegen.job import Job, Lathe, Mill, load_job, read_job
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.dialect import LARGEST_DIALECT_FILE
from tests.cli.calling import ROOT, call
from tests.job.job_text import JOBS

GOOD = (JOBS / "chuck-100.toml").read_text(encoding="utf-8")


def _most(model: type, key: str) -> int:
    (most,) = [m.max_length for m in model.model_fields[key].metadata if isinstance(m, MaxLen)]
    return int(most)


IN_CODE = {
    "job file": load.LARGEST_FILE,
    "problems of a job file that are told": load.MOST_PROBLEMS,
    "features of a chuck": _most(chuck.Chuck, "feature"),
    "readings of run-out in a job file": _most(Adjustment, "reading"),
    "tools of a machine": _most(Mill, "tool"),
    "boxes or rings that the tool must not meet": _most(Mill, "keep_out"),
    "title of a job": _most(Job, "title"),
    "name of a feature": _most(chuck.Ring, "name"),
    "any length": units.LARGEST_LENGTH_MM,
    "dialect file": LARGEST_DIALECT_FILE,
    "parts of one key, as a.b.c has three": toml_text.MOST_PARTS,
    "template": faults.LARGEST_TEMPLATE,
    "turns of the loops in templates, a program": faults.MOST_TURNS,
    "text that templates put out, a program": faults.LARGEST_TEXT,
    "program that is read": check.LARGEST_PROGRAM,
    "lines of a program": reader.MOST_LINES,
    "steps of a program": reader.MOST_STEPS,
    "strokes of one canned cycle": cycles.MOST_STROKES,
    "a number in a program": blocks.LARGEST_NUMBER,
    "brackets inside one another in a program": formulas.MOST_NESTED,
    "file of readings": reading_file.LARGEST_FILE,
    "readings in it": reading_file.MOST_READINGS,
}


def test_every_limit_on_the_page_is_that_of_the_code(root: Path) -> None:
    page = (root / "SECURITY.md").read_text(encoding="utf-8")
    table = page.partition("| limit |\n| --- | --- |\n")[2].partition("\n\n")[0]
    told = dict(re.findall(r"^\| (.+?) \| ([0-9,]+)(?: .*)? \|$", table, re.MULTILINE))
    assert {what: float(figure.replace(",", "")) for what, figure in told.items()} == IN_CODE
    assert _most(Lathe, "tool") == _most(Mill, "tool")
    assert _most(Lathe, "keep_out") == _most(Mill, "keep_out")


TOO_MUCH = {
    "a file too large": GOOD + "#" * 1_000_000,
    "features": GOOD + 201 * '[[chuck.feature]]\nname = "x"\nkind = "ring"\nouter_diameter = 30\nto_depth = 20\n',
    "tools": GOOD.replace(
        "[lathe] ", "".join('[[mill.tool]]\nnumber = 1\nkind = "tap"\n' for _ in range(100)) + "[lathe] "
    ),
    "readings": GOOD + 101 * "[[adjustment.reading]]\nclamped_diameter = 10\nrun_out = 0.1\n",
    "zones": GOOD + 100 * '[[mill.keep_out]]\nname = "x"\nx = [1, 2]\ny = [1, 2]\nz = [1, 2]\n',
    "a long title": GOOD.replace('"Bench chuck 100"', f'"{"x" * 121}"'),
    "a long name": GOOD.replace('"pinion bore"', f'"{"x" * 61}"'),
    "a long length": GOOD.replace("diameter = 100 ", "diameter = 2001 "),
    "a long key": GOOD + "x." * 400_000 + "x = 1",
    "nesting": GOOD + "x = " + "[" * 100_000,
    "a large exponent": GOOD.replace("diameter = 100 ", "diameter = 1e308 "),
    "an exponent too large": GOOD.replace("diameter = 100 ", "diameter = 1e309 "),
    "digits": GOOD.replace("diameter = 100 ", f"diameter = {'9' * 100_000} "),
    "not a number": GOOD.replace("diameter = 100 ", "diameter = nan "),
    "a control code": GOOD.replace("Bench chuck", "\\u001b]0;x\\u0007"),
    "a line end in a title": GOOD.replace("Bench chuck", "M3\\nG0"),
}


@pytest.mark.parametrize("name", TOO_MUCH)
def test_a_job_that_is_too_much_is_refused(name: str) -> None:
    assert TOO_MUCH[name] != GOOD
    with pytest.raises(JobError) as told:
        read_job(TOO_MUCH[name])
    assert len(str(told.value)) < 100_000


def _own_templates(folder: Path, text: str) -> str:
    """Return what is said when a job's own template folder holds this text."""
    own = folder / "own"
    own.mkdir(exist_ok=True)
    (own / "mill_spindle.nc.j2").write_text(text, encoding="utf-8")
    with pytest.raises(TemplateError) as told:
        making.make(load_job(JOBS / "chuck-100.toml"), own)
    return str(told.value)


@pytest.mark.parametrize(
    "escape",
    [
        "{{ ''.__class__.__mro__ }}",
        "{{ ''['__class__'] }}",
        "{{ step.__init__.__globals__ }}",
        "{{ step.speed.__class__ }}",
        "{{ self.__init__ }}",
        "{{ self._TemplateReference__context }}",
        "{% include '/etc/hostname' %}",
        "{% include '../secret.txt' %}",
        "{% include 'link.txt' %}",
        "{% include 'sub/link.j2' %}",
        "{% import '../secret.txt' as x %}",
        "{% extends '../secret.txt' %}",
        "{{ range(9) }}",
        "{{ lipsum() }}",
        "{{ cycler }}",
        "{{ namespace }}",
        "{{ 'x' * 3000000000 }}",
        "{{ 2 ** 99999999 }}",
        "{{ '%999999999d' % 1 }}",
        "{{ 'x' ~ 'y' }}",
        "{{ 'x'.center(999999999) }}",
        "{{ '{:>999999999}'.format('x') }}",
        "{{ 'x'|center(999999999) }}",
        "{{ 'x'|indent(999999999) }}",
        "{{ ['x', 'y']|join }}",
        "{{ step|attr('__init__') }}",
        "{{ 'x'|attr('format') }}",
        "{{ ['x{0.__class__}'.format]|map('string') }}",
        "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
        "{% set x %}y{% endset %}",
        "{% include 'mill_spindle.nc.j2' %}",
        "{% for a in 'TENS' %}{% for b in 'TENS' %}{% for c in 'TENS' %}{% endfor %}{% endfor %}{% endfor %}",
        "{{ " + "(" * 20_000 + "1" + ")" * 20_000 + " }}",
        "{% if a %}" * 5000,
        "{#" + "x" * 100_000,
    ],
)
def test_a_template_can_neither_read_nor_call_nor_go_on_without_end(escape: str, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("SECRET", encoding="utf-8")
    (tmp_path / "own" / "sub").mkdir(parents=True)
    (tmp_path / "own" / "link.txt").symlink_to(secret)
    (tmp_path / "own" / "sub" / "link.j2").symlink_to(secret)
    told = _own_templates(tmp_path, escape.replace("TENS", "x" * 1000))
    assert "SECRET" not in told
    assert re.search(r"(Put |Look at|Make it|Write it|Take that out)", told)


def test_templates_that_include_each_other_twice_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sandbox, "MOST_TURNS", 1000)
    own = tmp_path / "own"
    own.mkdir()
    for k in range(40):
        (own / f"t{k}.j2").write_text(f"{{% include 't{k + 1}.j2' %}}" * 2)
    (own / "t40.j2").write_text("")
    assert "turns more than" in _own_templates(tmp_path, "{% include 't0.j2' %}")


@pytest.mark.parametrize("name", ["../out.toml", "/etc/hostname", "link.toml", "link/out.toml", "sub/../../out.toml"])
@pytest.mark.parametrize("key", ["file", "templates"])
def test_a_job_names_nothing_outside_of_its_folder(name: str, key: str, tmp_path: Path) -> None:
    home = tmp_path / "home"
    (home / "sub").mkdir(parents=True)
    (tmp_path / "out.toml").write_text("cycles = false\n")
    (home / "link.toml").symlink_to(tmp_path / "out.toml")
    (home / "link").symlink_to(tmp_path)
    job = home / "job.toml"
    text = GOOD.replace('dialect = "plain"', f'dialect = {{ {key} = "{name}" }}', 1)
    assert text != GOOD
    job.write_text(text, encoding="utf-8")
    with pytest.raises(JobError, match="under the folder of the job file"):
        load_job(job)


def test_control_codes_in_names_of_files_are_shown_by_their_numbers(tmp_path: Path) -> None:
    odd = tmp_path / "a\x1b[31mb\x07"
    odd.mkdir()
    job = odd / "c\x1b[2Jd.toml"
    job.write_text(GOOD, encoding="utf-8")
    wrong = odd / "wrong\x1b[2J.toml"
    wrong.write_text('unit = "ell"\n"k\\u001b[2J" = 1\n', encoding="utf-8")
    calls = [
        ("make", job, "-o", odd / "out"),
        ("make", job, JOBS / "too-thin.toml", "-o", odd / "two"),
        ("design", wrong),
        ("design", odd / "none"),
        ("dryrun", job, odd / "none.nc", "--on", "mill"),
        ("dial", job, odd / "none.csv"),
        ("explain", "x\x1b[2J"),
        ("new", odd / "new.toml", "--yes"),
        ("make", job, "-o", job),
    ]
    for words in calls:
        done = call(*words)
        assert "\x1b" not in done.out + done.err, words
        assert "\x07" not in done.out + done.err, words
        assert "\\x1b" in done.out + done.err, words


def test_markup_of_a_job_is_text_in_its_packet(tmp_path: Path) -> None:
    text = GOOD.replace("Bench chuck 100", "<script>alert(1)</script>").replace(
        '"pinion bore"', '"<img src=x onerror=y>"'
    )
    page = making.make(read_job(text)).files["packet.html"]
    assert "<script>alert" not in page
    assert "<img" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_no_network_and_no_other_program_is_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*words: object, **more: object) -> None:
        raise AssertionError(words)

    monkeypatch.setattr(socket, "socket", refused)
    monkeypatch.setattr(subprocess, "Popen", refused)
    job = tmp_path / "job.toml"
    job.write_text(GOOD, encoding="utf-8")
    readings = tmp_path / "readings.csv"
    readings.write_text("angle_deg,value\n0,0.02\n90,0\n180,0\n270,0\n", encoding="utf-8")
    assert call("make", job, "-o", tmp_path / "out").code == 0
    assert call("dryrun", job, tmp_path / "out" / "mill.nc").code == 0
    assert call("dial", job, readings).code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["job.toml", "out", "readings.csv"]
    assert call("dial", job, readings, "--record").code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["job.dial.toml", "job.toml", "out", "readings.csv"]


def test_every_package_that_runs_is_pinned(root: Path) -> None:
    project = (root / "pyproject.toml").read_text(encoding="utf-8")
    (listed,) = re.findall(r"^dependencies = \[(.*)\]$", project, re.MULTILINE)
    names = [re.match(r"[a-z0-9]+", word)[0] for word in re.findall(r'"([^"]+)"', listed)]  # type: ignore[index]
    page = (root / "SECURITY.md").read_text(encoding="utf-8")
    assert f"At run time: {', '.join(names)}, and" in page
    pinned = (root / "constraints.txt").read_text(encoding="utf-8").lower()
    assert all(f"\n{name}==" in f"\n{pinned}" for name in names)


def _version(text: str) -> tuple[int, ...]:
    return tuple(int(part) for part in text.split("."))


def test_every_package_that_had_an_advisory_is_pinned_where_it_is_mended(root: Path) -> None:
    page = (root / "SECURITY.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| ([a-z0-9-]+) \| (CVE-[0-9-]+) \| ([0-9.]+) \|", page, re.MULTILINE)
    assert rows
    pinned = dict(re.findall(r"^(\S+)==(\S+)$", (root / "constraints.txt").read_text().lower(), re.MULTILINE))
    assert [row for row in rows if _version(pinned[row[0]]) < _version(row[2])] == []


def test_what_comes_along_with_the_command_line_is_not_loaded() -> None:
    named = "rich", "markdown_it", "mdurl", "pygments"
    say = f"import sys, gcodegen.cli; print([name for name in {named} if name in sys.modules])"
    told = subprocess.run([sys.executable, "-c", say], capture_output=True, text=True, check=True, cwd=ROOT)
    assert told.stdout == "[]\n"
