"""Packet: one printable page with cautions, decisions, drawings, set-ups, sheets and the programs' text."""

from gcodegen.packet.drawings import drawings
from gcodegen.packet.page import write_packet
from gcodegen.packet.program import Program

__all__ = ["Program", "drawings", "write_packet"]
