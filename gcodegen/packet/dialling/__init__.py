"""Dialling in from the page: readings typed at the lathe, and the same sums as the program's.

The script knows evenly spread readings of one turn, 8 or 12; everything else is for ``gcodegen dial``. A test
holds its sums equal to those of ``gcodegen.dial``.
"""

from gcodegen.packet.dialling.data import Dialling, dialling

__all__ = ["Dialling", "dialling"]
