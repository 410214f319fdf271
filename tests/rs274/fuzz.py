"""Hunt for texts that break the reader, led by what they reach in its code. Run it by hand; it is no test.

    pip install atheris
    python -m tests.rs274.fuzz NEW_FOLDER tests/rs274/corpus -max_total_time=3600 -max_len=10000 -timeout=60

The first byte of an input sets the switches of the machine, the rest is the text. Anything raised is a find, and
so are two seconds of work on one text, and a quick reading that differs from the general one.
"""

from __future__ import annotations

import sys

import atheris  # type: ignore[import-not-found]

with atheris.instrument_imports(include=["gcodegen.rs274"]):
    from tests.rs274.fuzzing import read_bytes


if __name__ == "__main__":
    atheris.Setup(sys.argv, read_bytes)
    atheris.Fuzz()
