"""Go through places along the axis and print the least wall at each: ``python docs/examples/setbacks.py JOB``."""

from __future__ import annotations

import sys

import gcodegen

FIRST, LAST, STEPS = 4.0, 9.0, 10  # mm from the rear face to the screws' axis


def main(path: str) -> None:
    """Print setback, least wall as a bar, screw and verdict."""
    for step in range(STEPS + 1):
        setback = FIRST + (LAST - FIRST) * step / STEPS
        design = gcodegen.design_job(gcodegen.load_job(path, {"adjustment.setback": f"{setback} mm"}))
        wall = design.layout.least_wall
        bar = "#" * max(0, round(10 * wall))
        print(f"{setback:5.2f} mm  {wall:6.2f} mm  {design.screw.name:<12} {design.verdict.value:<8} {bar}")


if __name__ == "__main__":
    main(*sys.argv[1:])
