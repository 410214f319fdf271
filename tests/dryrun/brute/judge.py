"""Puts the parts together: the good program of a job, its mutants, and which of them do clear harm."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from gcodegen.dryrun.run import dry_run
from gcodegen.job import Job
from tests.dryrun.brute import lathe_harm, mill_harm
from tests.dryrun.brute.interpreter import Run, interpret
from tests.dryrun.brute.mutants import Mutant, mutants
from tests.dryrun.brute.shop import Shop
from tests.dryrun.brute.words import Unclear


@dataclass(frozen=True)
class Judged:
    """A mutant that does clear harm, in the oracle's words, and whether the dry run stops it."""

    mutant: Mutant
    harm: str
    stopped: bool


def run_of(text: str, job: Job, on: str) -> Run:
    """Return what a program does, by the plain interpreter."""
    return interpret(text, shop_of(job, on))


def shop_of(job: Job, on: str) -> Shop:
    """Return what the interpreter must know of the machine, from the job's plain keys."""
    lathe = on == "lathe"
    dialect = job.lathe.dialect if lathe else job.mill.dialect
    return Shop(
        lathe=lathe,
        hand_rotary=job.mill.rotary == "by hand",
        hand_change=job.mill.tool_change == "by hand",
        x_radius=lathe and dialect.x_values == "radius",
        offset_digits=lathe and dialect.tool_word == "tool and offset",
        program_number=dialect.program_number > 0,
        clear_home=dialect.safe_return != "clear height",
    )


def chuck_of(job: Job, pitch: float) -> mill_harm.Chuck:
    """Return what brute force must know of the chuck, from the settled job's plain numbers."""
    length = job.chuck.length
    x0, x1 = (0.0, length) if job.mill.rear_face == "-X" else (-length, 0.0)
    taps = tuple(t.number for t in job.mill.tool if t.kind == "tap")
    touched = job.mill.dialect.length_offset == "touch off"
    return mill_harm.Chuck(job.chuck.diameter / 2, x0, x1, job.mill.clear_height, pitch, taps, touched)


def plate_of(job: Job) -> lathe_harm.Plate:
    """Return what brute force must know of the plate."""
    plate, wish = job.backplate, job.adjustment
    tool = next(t for t in job.lathe.tool if t.kind == "turning")
    return lathe_harm.Plate(
        outside=plate.diameter,
        bore=plate.bore,
        rear=-plate.thickness,
        old_spigot=plate.spigot_diameter,
        old_length=plate.spigot_length,
        spigot=plate.spigot_diameter - (wish.relief or 0.0),
        length=wish.spigot_length or 0.0,
        nose=tool.nose_radius,
        entering=tool.entering_angle_deg,
        end=tool.end_angle_deg,
        edge=tool.edge_length,
        largest_cut=job.lathe.max_depth_of_cut,
        along=tool.shank == "along",
        undercut=4.0 if wish.corner == "undercut" else 0.0,
    )


def judged(text: str, job: Job, on: str, pitch: float, share: float, seed: int) -> Iterator[Judged]:
    """Yield a seeded share of the mutants that do clear harm, each with what the dry run says of it."""
    chance = random.Random(seed)
    harm = harm_of(text, job, on, pitch)
    for mutant in mutants(text):
        if chance.random() < share and (found := harm(mutant.text)):
            yield Judged(mutant, found, dry_run(mutant.text, job, on, "x.nc").stops)  # type: ignore[arg-type]  # on is mill or lathe


def harm_of(good: str, job: Job, on: str, pitch: float) -> Callable[[str], str]:
    """Return what tells the clear harm of a text where the good one does none; empty for none, or where in doubt."""
    usual = run_of(good, job, on)
    chuck, plate = chuck_of(job, pitch), plate_of(job)
    wanted = mill_harm.machined(usual, chuck) if on == "mill" else mill_harm.Metal()
    if wanted.wrong:
        raise AssertionError(wanted.wrong)

    def harm(text: str) -> str:
        try:
            run = run_of(text, job, on)
        except Unclear:
            return ""
        return mill_harm.harm(run, usual, wanted, chuck) if on == "mill" else lathe_harm.harm(run, usual, plate)

    return harm
