"""Has a stranger's templates run by a process of its own, and ends it when it does not come back."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

from gcodegen.templating.faults import MEMORY_MB, SECONDS, Fault
from gcodegen.templating.running import Output

PATIENCE_S = 30.0
"""Of waiting by the clock, where the system cannot count the time of computing."""
_PACKAGES = Path(__file__).parent.parent.parent


def run_apart(folders: tuple[Path, Path], ours: Iterable[str], name: str, view: object) -> Output:
    """Return what the template ``name`` makes of ``view``, with the place of each line.

    Parameters
    ----------
    folders : tuple of Path
        The stranger's, then our own.
    ours : iterable of str
        The names of our templates.

    Raises
    ------
    Fault
        With file and line, whatever is wrong; with the stranger's folder where the process was ended.
    """
    asked = {"folders": [str(f.absolute()) for f in folders], "ours": list(ours), "name": name, "view": _plain(view)}
    answer = _answer(json.dumps(asked), folders[0])
    if "says" in answer:
        raise Fault(answer["says"], answer["do"], answer["where"])
    return Output(answer["text"], tuple(answer["places"]))


def _answer(asked: str, folder: Path) -> dict[str, Any]:
    takes = f"takes more than {SECONDS:g} seconds of computing or {MEMORY_MB} MB of memory"
    too_long = Fault(takes, "Look at the loops of its templates", str(folder))
    paths = os.pathsep.join(filter(None, (str(_PACKAGES), os.environ.get("PYTHONPATH"))))
    try:
        done = subprocess.run(
            # -P: what lies in the folder where one stands is none of ours.
            [sys.executable, "-P", "-m", "gcodegen.templating"],
            input=asked,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=PATIENCE_S,
            check=False,
            env=os.environ | {"PYTHONPATH": paths, "PYTHONHASHSEED": "0"},  # same job, same bytes
        )
    except subprocess.TimeoutExpired:
        raise too_long from None
    if done.returncode < 0:
        raise too_long  # the system has ended it
    if done.returncode > 0:
        last = done.stderr.strip().rpartition("\n")[2]
        raise Fault(f"cannot be run: {last}", "Install the package again", str(folder))
    answer: dict[str, Any] = json.loads(done.stdout)
    return answer


def _plain(value: Any) -> Any:
    """Return a view as plain values for another process; each table with the name of its kind."""
    if is_dataclass(value):
        own = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        template = getattr(value, "template", None)
        return {"kind": type(value).__name__, "fields": own | ({"template": template} if template else {})}
    return [_plain(one) for one in value] if isinstance(value, tuple) else value
