"""Take the first offer of a job that is stopped and design it again: ``python docs/examples/first_offer.py JOB``."""

from __future__ import annotations

import sys

import gcodegen


def main(path: str) -> None:
    """Print what stops the job, what would do, and the design with the first offer taken."""
    design = gcodegen.design_job(gcodegen.load_job(path))
    for decision in design.decisions:
        if decision.verdict is gcodegen.Verdict.STOP:
            print(f"stop: {decision.what}: {decision.why}")
    if not design.offers:
        print("no change was found that would do" if design.verdict is gcodegen.Verdict.STOP else "nothing stops it")
        return
    offer = design.offers[0]
    print(f"offer: {offer.what}")
    changes = {write.key: write.value for write in offer.write}
    again = gcodegen.design_job(gcodegen.load_job(path, changes))
    print(f"with it: {again.verdict.value}, {again.screw.name}, least wall {again.layout.least_wall:.2f} mm")


if __name__ == "__main__":
    main(*sys.argv[1:])
