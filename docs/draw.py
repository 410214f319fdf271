"""Draw the pictures of the README and the docs anew: ``python docs/draw.py`` from the project's folder."""

from __future__ import annotations

from pathlib import Path

from gcodegen.design import design
from gcodegen.job import load_job
from gcodegen.packet.rear_view import rear_view
from gcodegen.packet.section import section_at_screw
from gcodegen.packet.svg import Drawing

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent


def pictures() -> dict[str, str]:
    """Return the text of every picture by its file name."""
    decided = design(load_job(ROOT / "jobs" / "chuck-160.toml"))
    return {
        "chuck-160-rear.svg": _alone(rear_view(decided)),
        "chuck-160-section.svg": _alone(section_at_screw(decided)),
    }


def _alone(drawing: Drawing) -> str:
    """Return a drawing as a file of its own, with the packet's own lines and letters in it."""
    css = (ROOT / "gcodegen" / "packet" / "packet.css.j2").read_text(encoding="utf-8")
    style = "\n".join(line for line in css.splitlines() if line.startswith("svg "))
    head, rest = drawing.markup().split(">", 1)
    return f'{head} xmlns="http://www.w3.org/2000/svg"><style>{style}</style>{rest}\n'


if __name__ == "__main__":
    for name, text in pictures().items():
        (DOCS / name).write_text(text, encoding="utf-8")
