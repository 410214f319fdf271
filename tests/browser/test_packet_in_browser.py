"""The packet in a real browser: quiet, whole at any width, usable by keyboard, readable by machine and eye."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from gcodegen.design import design
from gcodegen.dryrun.trace import trace
from gcodegen.job import load_job
from gcodegen.make import make
from tests.browser.conftest import JOBS, Opened

OVERLAPS = """() => {
  const bad = [];
  document.querySelectorAll("figure svg:not(.live)").forEach((svg) => {
    const frame = svg.getBoundingClientRect();
    const boxes = Array.from(svg.querySelectorAll("text")).map((t) => [t.textContent, t.getBoundingClientRect()]);
    boxes.forEach(([says, a], i) => {
      const beside = a.left < frame.left - 0.5 || a.right > frame.right + 0.5;
      if (beside || a.top < frame.top - 0.5 || a.bottom > frame.bottom + 0.5) {
        bad.push(svg.id + ": cut off: " + says);
      }
      boxes.slice(i + 1).forEach(([other, b]) => {
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        // A line's box holds room above and below its letters; a fifth of it may be shared.
        if (wide > 0.5 && high > 0.2 * Math.min(a.height, b.height)) { bad.push(svg.id + ": " + says + " / " + other); }
      });
    });
  });
  return bad;
}"""


@pytest.mark.parametrize("job", JOBS)
def test_nothing_goes_wrong_in_the_page_and_no_request_leaves_it(
    job: str, browser: Browser, packets: dict[str, Path]
) -> None:
    with Opened(browser, packets[job]) as opened:
        for number in range(2):
            opened.page.evaluate(f"gcodegenSteps[{number}].show(1e9)")
        assert opened.wrong == []
        assert opened.asked == [packets[job].as_uri()]


@pytest.mark.outside("axe-core: accessibility rules run in the page")
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("job", JOBS)
def test_axe_finds_no_violation(job: str, scheme: str, browser: Browser, packets: dict[str, Path]) -> None:
    with Opened(browser, packets[job], scheme=scheme) as opened:
        opened.page.evaluate("document.querySelector('meta[http-equiv]')")
        found = Axe().run(opened.page)
        told = [
            f"{v['id']}: {n['target']} {n['failureSummary']}" for v in found.response["violations"] for n in v["nodes"]
        ]
        assert told == []


@pytest.mark.parametrize("job", JOBS)
def test_no_label_of_a_drawing_covers_another_or_is_cut_off(
    job: str, browser: Browser, packets: dict[str, Path]
) -> None:
    with Opened(browser, packets[job]) as opened:
        assert opened.page.evaluate(OVERLAPS) == []


@pytest.mark.parametrize("width", [360, 768, 1400])
@pytest.mark.parametrize("job", JOBS)
def test_nothing_hangs_over_the_side_at_any_width(
    job: str, width: int, browser: Browser, packets: dict[str, Path]
) -> None:
    with Opened(browser, packets[job], width=width) as opened:
        assert opened.page.evaluate("document.scrollingElement.scrollWidth") <= width


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize("number", [0, 1])
def test_stepping_reaches_every_block_and_shows_the_tool_where_the_motion_ends(
    job: str, number: int, browser: Browser, packets: dict[str, Path], jobs_folder: Path
) -> None:
    made = make(load_job(jobs_folder / f"{job}.toml"))
    program = made.programs[number]
    traced = trace(program.text, made.design.job, program.on)
    with Opened(browser, packets[job]) as opened:
        shown = opened.page.evaluate(
            """(number) => {
              const player = gcodegenSteps[number], out = [];
              for (let k = 0; k < player.stations.length; k += 1) {
                player.show(k);
                const row = document.querySelectorAll("[data-player]")[number].querySelector("[aria-current]");
                const place = (v, name) => v.tool.getAttribute(name);
                const tools = player.views.map((v) => [v.kind, place(v, "data-x"), place(v, "data-y")]);
                out.push([Number(row.getAttribute("data-line")), player.stations[k][1], tools]);
              }
              return out;
            }""",
            number,
        )
    assert {line for line, _, _ in shown} == set(range(1, len(traced.lines) + 1))
    moves = [row for row in shown if row[1] >= 0]
    assert [row[1] for row in moves] == list(range(len(traced.motions)))
    for (line, index, tools), motion in zip(moves, traced.motions, strict=True):
        end = motion.motion.end
        want = {"end": (end.y, -end.z), "side": (end.x, -end.z), "half": (end.z, -end.x / 2)}
        assert line == traced.motions[index].motion.line
        if motion.tool:
            for kind, x, y in tools:
                assert (float(x), float(y)) == pytest.approx(want[kind], abs=0.05), (line, kind)


def test_the_keyboard_alone_steps_runs_and_jumps(browser: Browser, packets: dict[str, Path]) -> None:
    with Opened(browser, packets["chuck-160"]) as opened:
        page = opened.page
        at = "gcodegenSteps[0].at"
        page.locator("#step-mill [data-part=blocks]").focus()
        for key, expected in (("ArrowDown", 1), ("ArrowRight", 2), ("ArrowUp", 1), ("Home", 0)):
            page.keyboard.press(key)
            assert page.evaluate(at) == expected
        page.keyboard.press("End")
        assert page.evaluate(at) == page.evaluate("gcodegenSteps[0].stations.length") - 1
        page.keyboard.press("Home")
        page.keyboard.press(" ")
        until = time.monotonic() + 20
        while page.evaluate(at) < 3 and time.monotonic() < until:
            page.wait_for_timeout(50)
        assert page.evaluate(at) >= 3
        page.keyboard.press(" ")
        held = page.evaluate(at)
        page.wait_for_timeout(400)
        assert page.evaluate(at) == held
        reached = set()
        page.locator("#step-mill [data-part=start]").focus()
        for _ in range(8):
            reached.add(page.evaluate("document.activeElement.dataset.part"))
            page.keyboard.press("Tab")
        assert {"start", "back", "run", "on", "end", "slider", "speed", "goal"} <= reached


@pytest.mark.outside("from memory of W3C Content Security Policy Level 3: inline script without its hash is not run")
def test_hostile_text_in_a_job_runs_nothing(browser: Browser, tmp_path: Path, jobs_folder: Path) -> None:
    evil = "</script><script>window.bad=1</script><img src=x onerror=window.bad=1>"
    text = (jobs_folder / "chuck-160.toml").read_text(encoding="utf-8")
    text = text.replace('"Shop chuck 160"', f"'{evil[:110]}'").replace('"cover screw"', "'<svg onload=window.bad=1>'")
    file = tmp_path / "packet.html"
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    file.write_text(make(load_job(tmp_path / "job.toml")).files["packet.html"], encoding="utf-8")
    with Opened(browser, file) as opened:
        opened.page.evaluate("gcodegenSteps[0].show(1e9)")
        assert opened.page.evaluate("window.bad") is None
        assert opened.page.evaluate("document.querySelectorAll('img').length") == 0
        assert opened.wrong == []
        # What the page itself would not run, its policy forbids too.
        opened.page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=\"window.bad=1\">')")
        opened.page.wait_for_timeout(200)
        assert opened.page.evaluate("window.bad") is None


def test_a_program_of_five_thousand_blocks_is_ready_to_step(
    browser: Browser, tmp_path: Path, jobs_folder: Path
) -> None:
    from gcodegen.dryrun.run import dry_run
    from gcodegen.operations import plan_lathe, plan_mill
    from gcodegen.packet import Program, write_packet

    decided = design(load_job(jobs_folder / "chuck-160.toml"))
    moves = "\n".join(f"G1 Z{5 - 0.001 * (k % 7):.3f} F100." for k in range(5000))
    text = f"G21 G17 G90 G94\nT1 M6\nG43 H1 Z30.\nS800 M3\n{moves}\nG0 Z30.\nM5\nM30\n"
    program = Program(name="long.nc", on="mill", text=text, report=dry_run(text, decided.job, "mill", "long.nc"))
    page = write_packet(decided, plan_mill(decided), plan_lathe(decided), (program,))
    assert len(page) < 1_500_000
    (tmp_path / "long.html").write_text(page, encoding="utf-8")
    with Opened(browser, tmp_path / "long.html") as opened:
        assert opened.page.evaluate("gcodegenSteps[0].stations.length") >= 5000
        ready = opened.page.evaluate("performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd")
        # The figure is a second on a quiet machine; a busy one may take longer and still be right.
        assert ready < 5000
