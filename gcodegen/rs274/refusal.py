"""How the reader says no: one refusal inside a line, one fault in the answer, one list that stays short."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from gcodegen.rs274.faults import FAULTS
from gcodegen.verdict import Severity

# A hostile text must not fill the memory with faults; the last one listed says that there are more.
MOST_OF_ONE_CODE = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with the text, at a 1-based line and column; ``code`` is a key of ``FAULTS``."""

    line: int
    column: int
    code: str
    says: str
    do: str
    severity: Severity = Severity.STOP


class Refusal(Exception):  # noqa: N818 - it is caught inside this room and becomes a Fault
    """The line cannot be carried out.

    ``word`` is the letter, or letter and number ("G41"), to which the fault points, with ``second`` to the
    second such word; ``column`` wins over it.
    """

    def __init__(
        self, code: str, says: str, *, word: str = "", column: int = 0, do: str = "", second: bool = False
    ) -> None:
        super().__init__(says)
        self.code = code
        self.says = says
        self.word = word
        self.column = column
        self.do = do
        self.second = second


class FaultList:
    """The faults found so far; at most ``MOST_OF_ONE_CODE`` of one code are kept."""

    def __init__(self) -> None:
        self._found: list[Fault] = []
        self._count: Counter[str] = Counter()
        self._taken = 0

    def only_counted(self, code: str) -> bool:
        """Return whether further faults of that code are only counted; this one then is."""
        full = self._count[code] >= MOST_OF_ONE_CODE
        self._count[code] += full
        return full

    def add(
        self,
        code: str,
        says: str,
        *,
        line: int,
        column: int = 1,
        do: str = "",
        severity: Severity | None = None,
    ) -> None:
        """Note a fault; cure and severity come from the table unless they are given."""
        kind = FAULTS[code]
        self._count[code] += 1
        if self._count[code] > MOST_OF_ONE_CODE:
            return
        fault = Fault(
            line=line,
            column=column,
            code=code,
            says=says,
            do=do or kind.do,
            severity=severity or kind.severity,
        )
        self._found.append(fault)

    def taken(self) -> list[Fault]:
        """Return the faults found since the last call, in the order of their lines."""
        new = self._found[self._taken :]
        self._taken = len(self._found)
        return sorted(new, key=lambda fault: (fault.line, fault.column))

    def listed(self) -> tuple[Fault, ...]:
        """Return the faults in the order of their lines; the last of a crowded code says how many more."""
        last = {fault.code: place for place, fault in enumerate(self._found)}
        for code, place in last.items():
            more = self._count[code] - MOST_OF_ONE_CODE
            if more > 0:
                fault = self._found[place]
                self._found[place] = replace(fault, says=f"{fault.says} ({more} more like it are not listed)")
                self._count[code] = MOST_OF_ONE_CODE
        return tuple(sorted(self._found, key=lambda fault: (fault.line, fault.column)))
