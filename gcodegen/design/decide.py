"""Small makers of decisions: a value held against a limit gives margin and verdict in one place."""

from __future__ import annotations

from gcodegen.verdict import GEOMETRY, Decision, Source, Verdict

_TOUCH = 1e-9  # a margin this small is rounding, not metal


def at_least(
    id_: str,
    what: str,
    value: float,
    limit: float,
    unit: str,
    why: str,
    *,
    do: str = "",
    source: Source | str = GEOMETRY,
    wished: float | None = None,
) -> Decision:
    """Return a decision whose value must not be below ``limit``; below ``wished`` it is a caution."""
    margin = value - limit
    verdict = Verdict.GOOD
    if margin < -_TOUCH:
        verdict = Verdict.STOP
    elif wished is not None and value < wished - _TOUCH:
        verdict = Verdict.CAUTION
    return _made(id_, what, value, limit, margin, unit, verdict, why, do, source)


def at_most(
    id_: str,
    what: str,
    value: float,
    limit: float,
    unit: str,
    why: str,
    *,
    do: str = "",
    source: Source | str = GEOMETRY,
) -> Decision:
    """Return a decision whose value must not be above ``limit``."""
    margin = limit - value
    verdict = Verdict.STOP if margin < -_TOUCH else Verdict.GOOD
    return _made(id_, what, value, limit, margin, unit, verdict, why, do, source)


def stated(
    id_: str,
    what: str,
    value: float | str,
    unit: str,
    why: str,
    *,
    verdict: Verdict = Verdict.GOOD,
    do: str = "",
    source: Source | str = GEOMETRY,
) -> Decision:
    """Return a decision that has no limit of its own."""
    shown = round(value, 6) if isinstance(value, float) else value
    return Decision(id=id_, what=what, value=shown, unit=unit, verdict=verdict, why=why, do=do, source=str(source))


def _made(
    id_: str,
    what: str,
    value: float,
    limit: float,
    margin: float,
    unit: str,
    verdict: Verdict,
    why: str,
    do: str,
    source: Source | str,
) -> Decision:
    return Decision(
        id=id_,
        what=what,
        value=round(value, 6),
        limit=round(limit, 6),
        margin=round(margin, 6) + 0.0,
        unit=unit,
        verdict=verdict,
        why=why,
        do=do if verdict is not Verdict.GOOD else "",
        source=str(source),
    )
