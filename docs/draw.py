"""Draw the pictures of the README and the docs anew: ``python docs/draw.py`` from the project's folder."""

from __future__ import annotations

from pathlib import Path

from gcodegen.design import design
from gcodegen.job import load_job
from gcodegen.packet.rear_view import rear_view
from gcodegen.packet.section import section_at_screw

DOCS = Path(__file__).resolve().parent
ROOT = DOCS.parent


def pictures() -> dict[str, str]:
    """Return the text of every picture by its file name."""
    decided = design(load_job(ROOT / "jobs" / "chuck-160.toml"))
    return {
        "chuck-160-rear.svg": rear_view(decided).alone(),
        "chuck-160-section.svg": section_at_screw(decided).alone(),
    }


if __name__ == "__main__":
    for name, text in pictures().items():
        (DOCS / name).write_text(text, encoding="utf-8")
