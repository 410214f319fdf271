"""What chuck body and backplate have in common: both are castings of grey iron."""

from __future__ import annotations

from gcodegen.handbook import Iron, iron
from gcodegen.job.fields import Hardness, IronName, Section


class Casting(Section):
    """A casting of grey iron."""

    material: IronName
    """Grey iron, such as "EN-GJL-250" or "A48 class 35"."""
    hardness_hb: Hardness | None = None
    """Brinell hardness as measured; it wins over the class of the iron."""

    @property
    def iron(self) -> Iron:
        """The handbook row of its iron."""
        return iron(self.material)

    @property
    def hardness(self) -> float:
        """Brinell hardness: as measured, else the middle of its iron's range."""
        return self.hardness_hb if self.hardness_hb is not None else self.iron.middle_hardness_hb
