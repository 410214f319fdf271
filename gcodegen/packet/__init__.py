"""Packet: one printable page with cautions, decisions, drawings, set-ups, sheets and the programs' text.

``write_packet`` (page) puts everything in order for the templates of this folder. Drawings are made of lines of a few
kinds and real text (svg, shapes, labels, dimension) and come from one place (drawings); sheets are tables of finished
strings (table, figures). ``stepping/`` shows a program block by block, ``dialling/`` reckons while one dials in: two
plain scripts inside the page, which asks nothing of any other machine. Nothing is decided here.
"""

from gcodegen.packet.drawings import drawings
from gcodegen.packet.page import write_packet
from gcodegen.packet.program import Program

__all__ = ["Program", "drawings", "write_packet"]
