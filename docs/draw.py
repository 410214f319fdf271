"""Draw the pictures of the README and the docs anew: ``python docs/draw.py`` from the project's folder."""

from __future__ import annotations

import re
import sys
from pathlib import Path

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent
ROOM = 8.0
sys.path.insert(0, str(ROOT))

from docs.draw_forces import forces  # noqa: E402 - found by the path above
from docs.draw_readings import readings  # noqa: E402 - found by the path above
from gcodegen.design import design  # noqa: E402 - found by the path above
from gcodegen.job import load_job  # noqa: E402 - found by the path above
from gcodegen.operations import plan_lathe  # noqa: E402 - found by the path above
from gcodegen.packet.drawings import drawings  # noqa: E402 - found by the path above

TUTORIAL = ("rear-view", "section-screw", "margin-curve", "mill-setup", "hole", "strip-1", "lathe-setup", "detail")
OF_160 = {
    "rear-view": "chuck-160-rear.svg",
    "section-screw": "chuck-160-section.svg",
    "margin-curve": "pictures/margin-curve.svg",
    "mill-setup": "pictures/mill-setup.svg",
    "lathe-setup": "pictures/lathe-setup.svg",
}
"""Pictures of the shipped job that the README shows, by the drawing's name."""


def pictures() -> dict[str, str]:
    """Return the text of every picture by its file name under ``docs``."""
    first = _drawings(DOCS / "tutorial" / "first-chuck.toml")
    shipped = _drawings(ROOT / "jobs" / "chuck-160.toml")
    made = {f"tutorial/{name}.svg": first[name] for name in TUTORIAL}
    made |= {file: shipped[name] for name, file in OF_160.items()}
    made |= {f"pictures/{drawing.name}.svg": drawing.alone() for drawing in (*forces(), *readings())}
    return {name: _roomy(text) for name, text in made.items()}


def _roomy(text: str) -> str:
    """Return a picture with room on both sides: where the letters asked for are not there, others are wider."""
    size = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 [\d.]+ [\d.]+"', text)
    assert size is not None
    width, height = float(size.group(1)) + 2 * ROOM, float(size.group(2))
    wider = f'width="{width:g}mm" height="{height:g}mm" viewBox="{-ROOM:g} 0 {width:g} {height:g}"'
    return text.replace(size.group(), wider, 1)


def _drawings(job: Path) -> dict[str, str]:
    decided = design(load_job(job))
    return {name.removesuffix(".svg"): text for name, text in drawings(decided, plan_lathe(decided)).files().items()}


if __name__ == "__main__":
    for name, text in pictures().items():
        (DOCS / name).parent.mkdir(exist_ok=True)
        (DOCS / name).write_text(text, encoding="utf-8")
