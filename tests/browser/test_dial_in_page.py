"""The dial-in page reckons what ``gcodegen dial`` reckons, and says it at the lathe."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from gcodegen.design import design
from gcodegen.dial import Reading, ReadingSet, chuck_as_made, dial_answer
from gcodegen.errors import ReadingError
from gcodegen.job import load_job
from tests.browser.conftest import Opened

SETS = 1000


def _sets(step: float) -> list[list[float]]:
    """Readings at 8 or 12 places: off centre, with lobes and noise, rounded to the indicator's step.

    The first ones lie half-way between two screws, so that both pairs travel alike to the last bits.
    """
    chance, found = random.Random(41), []
    for n in (8, 12):
        for e in (0.02, 0.05, 0.08, 0.11):
            for quarter in range(4):
                high = math.pi / 4 + quarter * math.pi / 2
                found.append([round(e * math.cos(2 * math.pi * i / n - high) / step) * step for i in range(n)])
    for _ in range(SETS):
        n = chance.choice((8, 12))
        e, a = 10 ** chance.uniform(-3, -0.4), chance.uniform(0, 2 * math.pi)
        second, third, noise = (10 ** chance.uniform(-4, -2) for _ in range(3))
        row = [
            e * math.cos(2 * math.pi * i / n - a)
            + second * math.cos(4 * math.pi * i / n)
            + third * math.sin(6 * math.pi * i / n)
            + chance.gauss(0, noise)
            for i in range(n)
        ]
        found.append([round(v / step) * step for v in row])
    return found


@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
def test_the_page_reckons_like_the_program_to_a_thousand_millionth(
    name: str, browser: Browser, packets: dict[str, Path], jobs_folder: Path
) -> None:
    decided = design(load_job(jobs_folder / f"{name}.toml"))
    chuck, wanted = chuck_as_made(decided), 0.01
    step = 0.001 if decided.job.unit == "mm" else 0.0001 * 25.4
    sets = _sets(step)
    with Opened(browser, packets[name]) as opened:
        shown = opened.page.evaluate(
            """([sets, wanted]) => {
              const chuck = JSON.parse(document.querySelector("#dial-in script").textContent);
              return sets.map((v) => {
                const step = gcodegenDial.assumedStep(chuck, v);
                return Object.assign({ step: step }, gcodegenDial.answer(chuck, v, step, wanted));
              });
            }""",
            [sets, wanted],
        )
    turned = 0
    for values, page in zip(sets, shown, strict=True):
        n = len(values)
        readings = tuple(Reading(angle_deg=360 * i / n, value=v) for i, v in enumerate(values))
        own = dial_answer(decided.job, chuck, ReadingSet(readings=readings), wanted_mm=wanted)
        at = own.at
        for key, value in (
            ("e", at.eccentricity), ("error", at.standard_error), ("sure", at.sure_within), ("second", at.second),
            ("third", at.third), ("runOut", at.run_out), ("rest", at.rest), ("x", at.x), ("y", at.y),
        ):  # fmt: skip
            assert page["fit"][key] == pytest.approx(value, abs=1e-9), key
        if at.eccentricity > 1e-9:
            assert (page["fit"]["direction"] - at.direction_deg + 180) % 360 - 180 == pytest.approx(0, abs=1e-6)
        assert page["step"] == pytest.approx(at.resolution, abs=1e-12)
        assert page["done"] == own.done
        mine = [(t.screw, t.way.value, t.bites, pytest.approx(t.degrees, abs=1e-6)) for t in own.turns]
        theirs = [(t["screw"], t["way"], t["bites"], t["degrees"]) for t in page["turns"]]
        assert theirs == mine
        turned += bool(own.turns)
    assert turned > SETS / 2


def test_readings_typed_at_the_lathe_are_answered_and_a_missing_one_is_asked_for(
    browser: Browser, packets: dict[str, Path]
) -> None:
    with Opened(browser, packets["chuck-160"]) as opened:
        page = opened.page
        boxes = page.locator("#dial-in [data-part=readings] input")
        assert boxes.count() == 8
        boxes.first.focus()
        for i in range(7):
            page.keyboard.type(f"{0.05 * math.cos(math.pi / 4 * i):.3f}")
            page.keyboard.press("Enter")
        page.keyboard.press("Enter")
        assert "No figure at 315 degrees" in page.locator("#dial-in [data-part=answer]").inner_text()
        page.keyboard.type("0,035")
        page.keyboard.press("Enter")
        said = page.locator("#dial-in [data-part=answer]").inner_text()
        assert "off centre 0.0497 mm" in said
        assert "1. ease screw 1 by 18 degrees" in said
        assert "2. tighten screw 3 by 18 degrees" in said
        rounds = page.locator("#dial-in [data-part=rounds] tr")
        assert rounds.count() == 1
        page.locator("#dial-in [data-part=reckon]").click()
        assert rounds.count() == 1  # the same round, reckoned again
        page.locator("#dial-in [data-part=clear]").click()
        boxes.first.focus()
        for _ in range(8):
            page.keyboard.type("0.001")
            page.keyboard.press("Enter")
        assert rounds.count() == 2
        assert "Done" in page.locator("#dial-in [data-part=answer]").inner_text()
        assert opened.wrong == []


def test_readings_that_no_chuck_gives_and_steps_that_no_indicator_has_are_refused(
    browser: Browser, packets: dict[str, Path], jobs_folder: Path
) -> None:
    decided = design(load_job(jobs_folder / "chuck-160.toml"))
    with Opened(browser, packets["chuck-160"]) as opened:
        page = opened.page

        def reckoned(*values: str, step: str = "") -> str:
            page.locator("#dial-in [data-part=step]").fill(step)
            for i, value in enumerate(values):
                page.locator("#dial-in [data-part=readings] input").nth(i).fill(value)
            page.locator("#dial-in [data-part=reckon]").click()
            return str(page.locator("#dial-in [data-part=answer]").inner_text())

        ones = ("5", "4", "0", "-4", "-5", "-4", "0", "4")  # hundredths, typed without their point
        said = reckoned(*ones)
        taken = ReadingSet(readings=tuple(Reading(angle_deg=45 * i, value=float(v)) for i, v in enumerate(ones)))
        with pytest.raises(ReadingError) as refused:
            dial_answer(decided.job, chuck_as_made(decided), taken)
        assert "no chuck in working order runs out by more than 5" in said
        assert "no chuck in working order runs out by more than 5" in str(refused.value)
        assert "1. " not in said
        hundredths = tuple(f"{float(v) / 100:g}" for v in ones)
        assert "taken to be read to 0.0100 mm" in reckoned(*hundredths)
        told = reckoned(*hundredths, step="0.001")
        assert "taken to be read" not in told
        assert "1. ease screw 1" in told
        assert "Type the least step that you read" in reckoned(*hundredths, step="3")
        assert opened.wrong == []
