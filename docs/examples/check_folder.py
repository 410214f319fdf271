"""Check every program of a folder against a job: ``python docs/examples/check_folder.py JOB FOLDER``.

A program's name must say mill or lathe. Exit code 1: one of them must not be run, or there was none.
"""

from __future__ import annotations

import sys
from pathlib import Path

import gcodegen


def main(job: str, folder: str) -> int:
    """Print a line for each program, its stops below it, and return the exit code."""
    design = gcodegen.design_job(gcodegen.load_job(job))
    programs = sorted(Path(folder).glob("*.nc"))
    bad = design.verdict is gcodegen.Verdict.STOP or not programs
    for program in programs:
        report = gcodegen.dry_run(program, design, "lathe" if "lathe" in program.name else "mill")
        print(f"{'STOP' if report.stops else 'good'}  {program.name}: about {report.minutes:.1f} min")
        for finding in report.findings:
            if finding.severity is gcodegen.Severity.STOP:
                print(f"      line {finding.line}: {finding.says}. {finding.do}")
        bad = bad or report.stops
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
