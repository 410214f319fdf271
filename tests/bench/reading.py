"""The reader: blocks a second, memory a block, and how both grow with the length of a program."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from gcodegen.rs274 import Machine, Reading, read_program
from gcodegen.verdict import Severity
from tests.bench.clock import Row, called, resident, said_by
from tests.bench.texts import KINDS

LENGTHS = (10_000, 100_000, 1_000_000)


@dataclass(frozen=True, slots=True)
class Read:
    """How a text of one kind and length is read."""

    kind: str
    blocks: int
    seconds: float
    split: float  # seconds in which Python splits the same text into lines and words, and no more
    memory: int

    @property
    def blocks_a_second(self) -> float:
        """Blocks read in a second of the processor."""
        return self.blocks / self.seconds

    @property
    def bytes_a_block(self) -> float:
        """Memory that the reading takes, the text apart."""
        return self.memory / self.blocks

    @property
    def row(self) -> Row:
        """The figure as a ratio to the plain split."""
        return Row(f"reader, {self.blocks:,} blocks: {self.kind}", self.seconds, "split of the text", self.split)


def readings(lengths: tuple[int, ...] = LENGTHS) -> Iterator[Read]:
    """Yield each kind of text at each length, each reading in a fresh interpreter, the least of several."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "text.nc"
        for kind, text_of in KINDS.items():
            for blocks in lengths:
                file.write_text(text_of(blocks), encoding="ascii")
                runs = range(2 if blocks > 100_000 else 5)
                figures = [said_by(["-m", "tests.bench.reading", str(file)]).split() for _ in runs]
                seconds, split, memory = (min(map(float, column)) for column in zip(*figures, strict=True))
                yield Read(kind, blocks, seconds, split, int(memory))


def _figures(file: Path) -> tuple[float, float, int]:
    """Return the seconds of a reading, those of a split of the text, and the bytes by which the memory grew."""
    text = file.read_text(encoding="ascii")
    before, kept = resident(), []
    seconds = called(lambda: kept.append(_read(text)))
    grown = resident() - before
    return seconds, called(lambda: _split(text)), grown


def _read(text: str) -> Reading:
    reading = read_program(text, Machine())
    if any(fault.severity is not Severity.NOTE for fault in reading.faults):
        raise RuntimeError(f"the text is not as meant: {reading.faults[0].says}")
    return reading


def _split(text: str) -> int:
    """Return the number of words, found line by line and forgotten."""
    return sum(len(line.split()) for line in text.split("\n"))


if __name__ == "__main__":
    sys.stdout.write(" ".join(map(str, _figures(Path(sys.argv[1])))))
