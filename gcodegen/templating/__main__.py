"""The process in which a stranger's templates run: question on standard input, answer on standard output, both JSON."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Mapping
from pathlib import Path
from types import FrameType
from typing import Any

from gcodegen.templating.faults import MEMORY_MB, SECONDS, Fault, TooLong
from gcodegen.templating.running import run
from gcodegen.templating.sandbox import Seen, environment
from gcodegen.templating.survey import survey

_SPARE_SECONDS = 1  # before the system ends a process that does not hear
_MB = 1_000_000


def _seen(value: Any) -> Any:
    """Return what came as JSON with its tables as views."""
    if isinstance(value, dict):
        return Seen(value["kind"], {name: _seen(v) for name, v in value["fields"].items()})
    return [_seen(one) for one in value] if isinstance(value, list) else value


def _bound_this_process() -> None:
    """Let this process take little time and memory; where the system cannot, its parent ends it."""

    def end(_number: int, _frame: FrameType | None) -> None:
        raise TooLong

    try:
        import resource  # not there on every system

        whole = int(SECONDS) + _SPARE_SECONDS
        resource.setrlimit(resource.RLIMIT_CPU, (whole, whole))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY_MB * _MB, MEMORY_MB * _MB))
    except (ImportError, OSError, ValueError):
        pass
    if hasattr(signal, "setitimer"):
        signal.signal(signal.SIGPROF, end)
        signal.setitimer(signal.ITIMER_PROF, SECONDS)


def _answer(asked: Mapping[str, Any]) -> dict[str, Any]:
    """Return text and places, or the fault, of what a parent asks for."""
    folders = [Path(folder) for folder in asked["folders"]]
    try:
        survey(folders[0], asked["ours"])
        made = run(environment(folders), asked["name"], _seen(asked["view"]), with_places=True)
    except Fault as fault:
        return {"says": fault.says, "do": fault.do, "where": fault.where}
    except MemoryError:
        return {
            "says": f"asks for more memory than {MEMORY_MB} MB",
            "do": "Look at its loops",
            "where": str(folders[0]),
        }
    except TooLong:
        return {"says": f"goes on for more than {SECONDS:g} seconds", "do": "Look at it", "where": str(folders[0])}
    return {"text": made.text, "places": made.places}


if __name__ == "__main__":
    question = json.loads(sys.stdin.read())
    _bound_this_process()
    sys.stdout.write(json.dumps(_answer(question)))
