"""All drawings of a job, in the order of the page; the page and the SVG files take them from here."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.design.result import Design
from gcodegen.operations import LathePlan
from gcodegen.packet.detail import detail
from gcodegen.packet.hole import hole_detail
from gcodegen.packet.lathe_setup import lathe_setup
from gcodegen.packet.margin_curve import margin_curve
from gcodegen.packet.mill_setup import mill_setup
from gcodegen.packet.rear_view import rear_view
from gcodegen.packet.section import section_at_bolt, section_at_screw
from gcodegen.packet.strip import strip_tiles
from gcodegen.packet.svg import Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawings:
    """Of the chuck, of both set-ups, and the pieces of the strip."""

    chuck: tuple[Drawing, ...]
    mill: Drawing
    lathe: Drawing
    strip: tuple[Drawing, ...]

    def files(self) -> dict[str, str]:
        """Return the text of each as an SVG file, by file name."""
        return {f"{d.name}.svg": d.alone() for d in (*self.chuck, self.mill, self.lathe, *self.strip)}


def drawings(design: Design, lathe_plan: LathePlan) -> Drawings:
    """Return every drawing of a design."""
    of_chuck = (rear_view, section_at_screw, detail, hole_detail, section_at_bolt, margin_curve)
    return Drawings(
        chuck=tuple(draw(design) for draw in of_chuck),
        mill=mill_setup(design),
        lathe=lathe_setup(design, lathe_plan),
        strip=strip_tiles(design),
    )
