"""Puts the parts together: the good program of a job, its mutants, and which of them do clear harm."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from gcodegen.dryrun.run import dry_run
from gcodegen.job import Job
from tests.dryrun.brute import lathe_harm, mill_harm
from tests.dryrun.brute.interpreter import Run, Unclear, interpret
from tests.dryrun.brute.mutants import Mutant, mutants


@dataclass(frozen=True)
class Judged:
    """A mutant that does clear harm, in the oracle's words, and whether the dry run stops it."""

    mutant: Mutant
    harm: str
    stopped: bool


def run_of(text: str, job: Job, on: str) -> Run:
    """Return what a program does, by the plain interpreter."""
    return interpret(
        text,
        lathe=on == "lathe",
        hand_rotary=job.mill.rotary == "by hand",
        hand_change=job.mill.tool_change == "by hand",
    )


def chuck_of(job: Job, pitch: float) -> mill_harm.Chuck:
    """Return what brute force must know of the chuck, from the settled job's plain numbers."""
    length = job.chuck.length
    x0, x1 = (0.0, length) if job.mill.rear_face == "-X" else (-length, 0.0)
    taps = tuple(t.number for t in job.mill.tool if t.kind == "tap")
    return mill_harm.Chuck(job.chuck.diameter / 2, x0, x1, job.mill.clear_height, pitch, taps)


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
    )


def judged(text: str, job: Job, on: str, pitch: float, share: float, seed: int) -> Iterator[Judged]:
    """Yield a seeded share of the mutants that do clear harm, each with what the dry run says of it."""
    chance = random.Random(seed)
    good = run_of(text, job, on)
    chuck, plate = chuck_of(job, pitch), plate_of(job)
    for mutant in mutants(text):
        if chance.random() >= share:
            continue
        try:
            run = run_of(mutant.text, job, on)
        except Unclear:
            continue
        harm = mill_harm.harm(run, good, chuck) if on == "mill" else lathe_harm.harm(run, good, plate)
        if harm:
            yield Judged(mutant, harm, dry_run(mutant.text, job, on, "x.nc").stops)  # type: ignore[arg-type]  # on is mill or lathe
