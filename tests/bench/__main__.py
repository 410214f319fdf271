"""Measure everything and print it; with ``-o docs/speed.md`` write them into the page.

    python -m tests.bench                     all of it, some five minutes
    python -m tests.bench commands deciding   only these

Nothing else should run on the machine meanwhile. Every figure is processor time; each ratio is to what was
measured in turn.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.bench import commands, cutting, deciding, reading
from tests.bench.clock import Row


def main() -> None:
    """Measure what is asked for."""
    asked = argparse.ArgumentParser(prog="python -m tests.bench", description="Measure how long the work takes.")
    asked.add_argument("parts", nargs="*", choices=[[], *PARTS], help="all when left out")
    asked.add_argument("-o", type=Path, help="write them into this page, below its mark")
    words = asked.parse_args()
    lines = [*_machine(), ""]
    sys.stdout.write("\n".join([*lines, ""]))
    for part in words.parts or PARTS:
        for line in PARTS[part]():
            sys.stdout.write(f"{line}\n")
            sys.stdout.flush()
            lines.append(line)
    if words.o:
        kept, mark, _ = words.o.read_text(encoding="utf-8").partition(MARK)
        words.o.write_text("\n".join([kept + mark, *lines]), encoding="utf-8")


MARK = "<!-- figures -->\n"


def _machine() -> Iterator[str]:
    names = [line.split(":")[1].strip() for line in _cpu() if line.startswith("model name")]
    yield f"{names[0] if names else platform.machine()}, {os.cpu_count()} processors seen, {platform.system()},"
    yield f"Python {platform.python_version()}. Load when it began: {os.getloadavg()[0]:.1f}."


def _cpu() -> list[str]:
    info = Path("/proc/cpuinfo")
    return info.read_text(encoding="ascii").split("\n") if info.exists() else []


def _table(title: str, rows: Iterable[Row]) -> Iterator[str]:
    yield from (
        f"## {title}",
        "",
        "| what | ms | times as long as | that alone, ms | ratio |",
        "| --- | ---: | --- | ---: | ---: |",
    )
    for row in rows:
        yield f"| {row.what} | {_ms(row.seconds)} | {row.against} | {_ms(row.yardstick)} | {row.ratio:.3g} |"
    yield ""


def _ms(seconds: float) -> str:
    return f"{1000 * seconds:.3g}" if seconds < 1 else f"{1000 * seconds:.0f}"


def _commands() -> Iterator[str]:
    return _table("Commands, each in a fresh interpreter", commands.rows())


def _deciding() -> Iterator[str]:
    return _table("Rooms, in one process", deciding.rows())


def _cutting() -> Iterator[str]:
    yield from _table("Dry run of shipped programs", cutting.rows())
    yield from (
        "## Dry run of long programs, seconds",
        "",
        f"| moves | {' | '.join(f'{n:,}' for n in cutting.COUNTS)} |",
    )
    yield "| --- |" + " ---: |" * len(cutting.COUNTS)
    for what, seconds in cutting.growth():
        yield f"| {what} | {' | '.join(f'{s:.2f}' for s in seconds)} |"
    yield ""


def _reading() -> Iterator[str]:
    yield from (
        "## Reader",
        "",
        "| text | blocks | blocks a second | bytes a block | times as long as a split of the text |",
    )
    yield "| --- | ---: | ---: | ---: | ---: |"
    for one in reading.readings():
        rate, size = round(one.blocks_a_second, -3), one.bytes_a_block
        yield f"| {one.kind} | {one.blocks:,} | {rate:,.0f} | {size:.0f} | {one.row.ratio:.1f} |"
    yield ""


PARTS = {"commands": _commands, "deciding": _deciding, "cutting": _cutting, "reading": _reading}

if __name__ == "__main__":
    main()
