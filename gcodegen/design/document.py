"""The design as a JSON document: plain numbers, rounded where a micron or a newton-millimetre no longer counts."""

from __future__ import annotations

from typing import Any

from gcodegen.design.result import Design, HowSure, Offer
from gcodegen.verdict import Decision


def design_document(design: Design) -> dict[str, Any]:
    """Return the design as plain values, ready for JSON; lengths in mm, angles in degrees."""
    screw, layout, spigot, room = design.screw, design.layout, design.spigot, design.float_room
    return {
        "title": design.job.title,
        "verdict": design.verdict.value,
        "screw": {
            "thread": screw.row.thread,
            "major_mm": _mm(screw.thread.major_mm),
            "pitch_mm": _mm(screw.thread.pitch_mm),
            "length_mm": _mm(screw.length),
            "key_mm": _mm(screw.row.key_mm),
            "tip_mm": _mm(screw.row.tip_max_mm),
            "tap_drill_mm": _mm(screw.thread.tap_drill_mm),
        },
        "angles_deg": [round(a, 4) for a in layout.angles],
        "setback_mm": _mm(layout.setback),
        "rim_mm": _mm(design.job.chuck.rim),
        "wall_mm": {
            "least": _mm(layout.least_wall),
            "feature": layout.feature,
            "per_screw": [_mm(w) for w in layout.per_screw],
        },
        "spigot": {
            "diameter_mm": _mm(spigot.diameter),
            "length_mm": _mm(spigot.length),
            "faced_back_mm": _mm(spigot.faced_back),
            "relief_mm": _mm(spigot.relief),
        },
        "float_mm": {
            "needed": _mm(room.needed),
            "available": _mm(room.available),
            "governed_by": room.governed_by,
        },
        "torque_nmm": {"safe": round(design.torque.safe, 1), "governed_by": design.torque.governed_by},
        "decisions": [_decision(d) for d in design.decisions],
        "rejected": [
            {"thread": r.thread, "by": r.by, "short": _mm(r.short), "unit": r.unit, "reasons": list(r.reasons)}
            for r in design.rejected
        ],
        "offers": [_offer(o) for o in design.offers],
        "how_sure": _how_sure(design.how_sure),
    }


def _how_sure(sure: HowSure) -> dict[str, Any]:
    return {
        "draws": sure.draws,
        "seed": sure.seed,
        "distribution": "rectangular",
        "varied": [{"key": s.key, "within_mm": _mm(s.within)} for s in sure.varied],
        "matters_most": [{"key": m.key, "decision": m.decision, "moves": _mm(m.moves)} for m in sure.matters_most],
        "not_varied": list(sure.not_varied),
    }


def _mm(value: float) -> float:
    return round(value, 4) + 0.0


def _offer(o: Offer) -> dict[str, Any]:
    return {
        "what": o.what,
        "write": [{"key": w.key, "value": list(w.value) if isinstance(w.value, tuple) else w.value} for w in o.write],
        "screw": o.screw,
        "least_wall_mm": _mm(o.least_wall),
    }


def _decision(d: Decision) -> dict[str, Any]:
    row: dict[str, Any] = {
        "id": d.id,
        "what": d.what,
        "value": _mm(d.value) if isinstance(d.value, float) else d.value,
        "limit": _mm(d.limit) if isinstance(d.limit, float) else d.limit,
        "margin": None if d.margin is None else _mm(d.margin),
        "worst": None if d.worst is None else _mm(d.worst),
        "chance": d.chance,
        "unit": d.unit,
        "verdict": d.verdict.value,
        "why": d.why,
        "source": d.source,
    }
    if d.do:
        row["do"] = d.do
    return row
