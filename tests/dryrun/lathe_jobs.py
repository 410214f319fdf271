"""Settled jobs for the lathe's dry run, built by hand; every figure is invented."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.job import Adjustment, Backplate, Bolts, Chuck, Job, Lathe, LatheTool, Mill
from gcodegen.rs274 import Machine, read_program
from gcodegen.verdict import Finding, Severity

CASES = Path(__file__).parent.parent / "cases" / "dryrun"
GOOD_MM = (CASES / "lathe_good_mm.nc").read_text(encoding="ascii")
GOOD_INCH = (CASES / "lathe_good_inch.nc").read_text(encoding="ascii")
INCH = 25.4


def _mill() -> Mill:
    return Mill(max_speed_rpm=4000, power_kw=1.1, max_feed=1200, rapid=3000)


@cache
def mm_job() -> Job:
    """A 160 mm chuck: spigot 124.97 to 123.97, seat from Z-4 back to Z-7.5."""
    bolts = Bolts(circle=140, count=3, thread="M10", hole_diameter=11, length=30, under_head=18, thread_depth=16)
    return Job(
        unit="mm",
        title="Bench chuck 160",
        chuck=Chuck(diameter=160, length=64, recess_diameter=125, recess_depth=10, speed_limit_rpm=2500),
        backplate=Backplate(diameter=160, thickness=24, spigot_diameter=124.97, spigot_length=4, bore=40, bolts=bolts),
        adjustment=Adjustment(relief=1.0, spigot_length=7.5, edge_break=0.3),
        mill=_mill(),
        lathe=Lathe(
            max_speed_rpm=4000,
            power_kw=1.5,
            max_feed=800,
            rapid=2000,
            max_depth_of_cut=1.0,
            tool=(LatheTool(number=1), LatheTool(number=3, nose_radius=0.8)),
        ),
    )


@cache
def inch_job() -> Job:
    """A four inch chuck on a light lathe: spigot 2.998 to 2.958 in, seat from 0.125 back to 0.250 in."""
    bolts = Bolts(
        circle=3.5 * INCH,
        count=6,
        thread="1/4-20",
        hole_diameter=7.0,
        length=22,
        under_head=12,
        thread_depth=14,
    )
    return Job(
        unit="in",
        title="Four inch chuck",
        chuck=Chuck(diameter=4 * INCH, length=50, recess_diameter=3 * INCH, recess_depth=9, speed_limit_rpm=2000),
        backplate=Backplate(
            diameter=4 * INCH,
            thickness=0.875 * INCH,
            spigot_diameter=2.998 * INCH,
            spigot_length=0.125 * INCH,
            bolts=bolts,
        ),
        adjustment=Adjustment(relief=0.04 * INCH, spigot_length=0.25 * INCH, edge_break=0.012 * INCH),
        mill=_mill(),
        lathe=Lathe(
            max_speed_rpm=1500,
            power_kw=0.75,
            max_feed=500,
            rapid=1500,
            max_depth_of_cut=0.02 * INCH,
            tool=(
                LatheTool(
                    number=2,
                    nose_radius=INCH / 64,
                    entering_angle_deg=91,
                    end_angle_deg=8,
                    material="HSS",
                ),
            ),
        ),
    )


def findings_of(text: str, job: Job, machine: Machine | None = None) -> list[Finding]:
    """Return what the lathe's dry run finds; the text itself must read without a fault that stops."""
    reading = read_program(text, machine or Machine(lathe=True))
    assert [f for f in reading.faults if f.severity is Severity.STOP] == []
    return check_lathe(reading, job)[0]


def codes_of(text: str, job: Job, machine: Machine | None = None) -> set[str]:
    """Return the codes that are graver than a note."""
    return {f.code for f in findings_of(text, job, machine) if f.severity is not Severity.NOTE}
