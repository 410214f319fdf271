"""A rapid of a lathe program against the metal that is there."""

from __future__ import annotations

from gcodegen.dryrun.lathe_ahead import Ahead
from gcodegen.dryrun.lathe_metal import Metal
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_space import where
from gcodegen.dryrun.lathe_stock import depth_in
from gcodegen.dryrun.lathe_sweep import swept
from gcodegen.dryrun.lathe_tool import DUST, TOUCH, Fitted, Shape
from gcodegen.dryrun.notebook import Notebook

SLIDE = 1.0  # contact at rapid that counts, beyond that of the nose in a corner, mm


def check_rapid(book: Notebook, stroke: Stroke, fitted: Fitted, stock: Metal, ahead: Ahead) -> Metal:
    """Report what a rapid meets, and return the stock after it."""
    if not fitted.meets_box(stroke.box, stock.box):
        return stock
    sweep = ahead.rapid(stroke)
    if stock.meets(sweep.grown):
        hit = stock.shape.intersection(swept(fitted.shrunk, stroke.path))
        if hit.area > DUST:
            says = f"a rapid goes up to {depth_in(hit, stock.shape) + TOUCH:.3f} mm into metal, {where(hit)}"
            book.add("lathe-rapid-in-metal", stroke.line, says, "Move clear first, or feed.")
            return stock.without(swept(fitted.shape.whole, stroke.path))
        _check_slide(book, stroke, fitted, stock.shape.intersection(sweep.grown))
    if not stroke.from_start:
        _check_corners(book, stroke, stock, sweep.reach)
    return stock


def _check_slide(book: Notebook, stroke: Stroke, fitted: Fitted, touched: Shape) -> None:
    if touched.area <= 0:
        return
    z0, r0, z1, r1 = touched.bounds
    slide = max(z1 - z0, r1 - r0)
    if slide > SLIDE + 2 * fitted.shape.nose_radius:
        says = f"a rapid slides {slide:.1f} mm along the metal, {where(touched)}"
        book.add("lathe-rapid-drags", stroke.line, says, "Feed off the surface first.")


def _check_corners(book: Notebook, stroke: Stroke, stock: Metal, reach: Shape) -> None:
    """Look at a rapid in both axes as a lathe makes it whose axes go each at its own rate.

    Whatever the rates, the tool stays in the box between the two places.
    """
    start, end = stroke.path[0], stroke.path[-1]
    if (start == end).any():
        return
    if not stock.meets(reach):
        return
    hit = stock.shape.intersection(reach)
    if hit.area > DUST:
        says = f"a rapid in X and Z; if the axes do not keep step it meets metal, {where(hit)}"
        book.add("lathe-rapid-corner", stroke.line, says, "Move one axis at a time.")
