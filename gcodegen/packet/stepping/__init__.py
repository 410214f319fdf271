"""Stepping through a program: its blocks beside a live drawing, moved by a plain script in the page.

Python gives the script what it needs (motions, outlines of tools, the work's drawing); the script shows where
the tool is and what is cut by then. It judges nothing: findings come from the dry run.
"""

from gcodegen.packet.stepping.data import Player, player

__all__ = ["Player", "player"]
