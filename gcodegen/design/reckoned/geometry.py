"""How the geometric decisions are reckoned."""

from __future__ import annotations

from gcodegen.design.corner import SOURCE
from gcodegen.design.placing import corner_along_spigot, proud_fillet
from gcodegen.design.reckoned.symbol import PRACTICE, ROW, Reckoned, of_design
from gcodegen.design.sure.telling import JCGM_101

_F = of_design("f", "recess bottom, or the cover that stays, from the rear face", lambda d: d.job.chuck.floor_depth)
_S = of_design("s", "setback: rear face to the screws' axis", lambda d: d.layout.setback)
_D = of_design("d", "screw over its crests", lambda d: d.screw.thread.major_mm)
_P = of_design("p", "largest tip of the screw", lambda d: d.screw.row.tip_max_mm)
_L = of_design("l", "new length of the spigot", lambda d: d.spigot.length)
_L0 = of_design("l0", "length of the spigot as it is", lambda d: d.job.backplate.spigot_length)
_E = of_design("e", "broken edge at the spigot's end", lambda d: d.spigot.edge_break)
_N = of_design("n", "fillet in the corner: the tool's nose radius, 0 where undercut", lambda d: proud_fillet(d.job))
_C = of_design("c", "corner, along the spigot: the nose radius, or the undercut", lambda d: corner_along_spigot(d.job))
_G = of_design("G", "spigot as it is, diameter", lambda d: d.job.backplate.spigot_diameter)
_R = of_design("r", "relief off the spigot's diameter", lambda d: d.spigot.relief)
_RECESS = of_design("D", "recess, diameter", lambda d: d.job.chuck.recess_diameter)
_BODY = of_design("R", "body, radius", lambda d: d.job.chuck.radius)
_B = of_design("b", "mounting bolt, diameter", lambda d: d.job.backplate.bolts.row.major_mm)
_U = of_design("u", "plate under the heads as it is", lambda d: d.job.backplate.bolts.under_head)
_LB = of_design("lb", "mounting bolt, length under its head", lambda d: d.job.backplate.bolts.length)
_T = of_design("t", "full thread in the chuck for the bolts", lambda d: d.job.backplate.bolts.thread_depth)
_K = of_design("k", "length of the set screw", lambda d: d.screw.length)
_M = of_design("m", "float that there is, each way", lambda d: d.float_room.available)
_SEAT = "adjustment.setback, adjustment.screw, adjustment.spigot_length"
_UNDER = "u - max(0, l - l0)"
_REACH = f"lb - ({_UNDER})"
ENGAGED = f"min({_REACH}, t)"
"""Length of mounting bolt in the chuck's thread, in the symbols beside it."""
ENGAGED_SYMBOLS = (_LB, _U, _L, _L0, _T)

GEOMETRY: dict[str, Reckoned] = {
    "screw": Reckoned(
        rule="the first standard screw, largest first, with no decision below its limit",
        changes="adjustment.screw; every length that leaves a larger screw too little iron, and the cover's plan",
        source=ROW,
    ),
    "angles": Reckoned(
        rule="the first angle with the largest least wall; the middle where that is the same over a stretch",
        changes="adjustment.first_angle or adjustment.angles; every feature's angles, and the mounting bolts'",
        source="exact optimum over every angle; no grid",
    ),
    "spacing": Reckoned(
        value="off",
        limit="allowed",
        symbols=(
            of_design("off", "farthest that a screw leaves its place", lambda d: d.layout.uneven_deg, "deg"),
            of_design("allowed", "tolerance", lambda d: d.job.adjustment.spacing_tolerance_deg, "deg"),
        ),
        changes="adjustment.spacing_tolerance_deg, adjustment.angles",
    ),
    "features": Reckoned(
        rule="what [[chuck.feature]] lists; told only where it lists nothing", changes="chuck.feature", source=PRACTICE
    ),
    "least-wall": Reckoned(
        value="min(w1, w2, w3, w4)",
        limit="w",
        symbols=(
            of_design("w1", "least distance of screw 1 to any obstacle", lambda d: d.layout.per_screw[0]),
            of_design("w2", "of screw 2", lambda d: d.layout.per_screw[1]),
            of_design("w3", "of screw 3", lambda d: d.layout.per_screw[2]),
            of_design("w4", "of screw 4", lambda d: d.layout.per_screw[3]),
            of_design("w", "least wall wanted", lambda d: d.job.adjustment.least_wall),
        ),
        changes="the feature that governs, adjustment.first_angle, adjustment.setback, adjustment.screw; "
        "adjustment.least_wall is the limit itself",
    ),
    "setback": Reckoned(
        rule="the middle of what rear face, corner fillet, recess bottom and the spigot's end leave, on a round figure",
        changes="adjustment.setback, adjustment.screw, chuck.recess_depth, chuck.cover, adjustment.spigot_length",
    ),
    "rear-edge": Reckoned(
        value="s - d / 2",
        limit="0.4 * d",
        symbols=(_S, _D),
        changes="adjustment.setback, adjustment.screw",
        source=PRACTICE,
    ),
    "recess-floor": Reckoned(
        value="f - s - d / 2",
        limit="0",
        symbols=(_F, _S, _D),
        changes="chuck.recess_depth, chuck.cover, adjustment.setback, adjustment.screw",
    ),
    "tip-on-spigot": Reckoned(
        value="l - e - s - p / 2", limit="0", symbols=(_L, _E, _S, _P), changes=f"{_SEAT}, adjustment.edge_break"
    ),
    "tip-clear-of-fillet": Reckoned(
        value="s - p / 2",
        limit="c",
        symbols=(_S, _P, _C),
        changes="adjustment.setback, adjustment.screw, adjustment.corner, the turning tool's nose_radius",
    ),
    "relief": Reckoned(
        rule="the usual relief, or twice what float, spare and corner fillet need less the play that is there, "
        "whichever is more, on a round figure",
        changes="adjustment.relief, adjustment.travel, the readings, the turning tool's nose_radius, "
        "chuck.recess_chamfer, chuck.recess_diameter, backplate.spigot_diameter",
    ),
    "faced-back": Reckoned(
        value="max(0, l - l0)",
        symbols=(_L, _L0),
        changes=f"backplate.spigot_length, {_SEAT}, backplate.bolts.length, backplate.bolts.under_head",
    ),
    "spigot-gap": Reckoned(
        value="l",
        limit="f - 0.25",
        symbols=(_L, _F),
        changes=f"chuck.recess_depth, chuck.cover, {_SEAT}",
        source=PRACTICE,
    ),
    "spigot-wall": Reckoned(
        value="(G - r - bore) / 2",
        limit="3",
        symbols=(_G, _R, of_design("bore", "bore of the plate", lambda d: d.job.backplate.bore)),
        changes="backplate.bore, backplate.spigot_diameter, adjustment.relief",
        source=PRACTICE,
    ),
    "spigot-shorter": Reckoned(
        value="l", limit="l0", symbols=(_L, _L0), changes="adjustment.spigot_length, backplate.spigot_length"
    ),
    "plate-under-head": Reckoned(
        value=_UNDER,
        limit="0.75 * b",
        symbols=(_U, _L, _L0, _B),
        changes=f"backplate.bolts.under_head, backplate.spigot_length, {_SEAT}",
        source=PRACTICE,
    ),
    "bolt-reach": Reckoned(
        value=_REACH,
        limit="t",
        symbols=ENGAGED_SYMBOLS,
        changes=f"backplate.bolts.length, under_head and thread_depth, backplate.spigot_length, {_SEAT}",
    ),
    "bolt-engagement": Reckoned(
        value=ENGAGED,
        limit="b",
        symbols=(*ENGAGED_SYMBOLS, _B),
        changes=f"backplate.bolts.length, under_head and thread_depth, backplate.spigot_length, {_SEAT}",
        source=PRACTICE,
    ),
    "float": Reckoned(
        value="min((D - G + r) / 2, (h - b) / 2 - q, (D - G + r) / 2 + c - n)",
        limit="run_out / 2 + travel",
        symbols=(
            _RECESS,
            _G,
            _R,
            of_design("h", "hole for a mounting bolt in the plate", lambda d: d.job.backplate.bolts.hole_diameter),
            _B,
            of_design("q", "error of the bolts' places", lambda d: d.job.backplate.bolts.position_error or 0.0),
            of_design("c", "chamfer at the recess mouth", lambda d: d.job.chuck.recess_chamfer),
            _N,
            of_design("run_out", "worst run-out as found", lambda d: d.job.adjustment.worst_run_out),
            of_design("travel", "travel wanted for parts", lambda d: d.job.adjustment.travel or 0.0),
        ),
        changes="what governs: adjustment.relief for the register gap, backplate.bolts.hole_diameter for the bolt gap, "
        "nose_radius and chuck.recess_chamfer for the corner fillet; the readings and adjustment.travel for the need",
    ),
    "corner": Reckoned(
        rule="as given; else undercut where a relief as given would do but for the fillet",
        changes="adjustment.corner, adjustment.relief, chuck.recess_chamfer, the turning tool's nose_radius, "
        "end_angle_deg and entering_angle_deg",
        source=str(SOURCE),
    ),
    "screw-sunk": Reckoned(
        value="sqrt(R^2 - (d / 2)^2) - (G - r) / 2 - max(m, 0) - k",
        limit="0.5",
        symbols=(_BODY, _D, _G, _R, _M, _K),
        changes="adjustment.screw_length, adjustment.relief, chuck.diameter",
        source=PRACTICE,
    ),
    "screw-engagement": Reckoned(
        value="min(k - (D / 2 - (G - r) / 2) - max(m, 0), R - D / 2 - 0.2 - (R - sqrt(R^2 - (d / 2)^2)))",
        limit="d",
        symbols=(_K, _RECESS, _G, _R, _M, _BODY, _D),
        changes="adjustment.screw_length, adjustment.screw, adjustment.relief",
        source=PRACTICE,
    ),
    "screw-length": Reckoned(rule="a length of the table of that screw", changes="adjustment.screw_length", source=ROW),
    "how-sure": Reckoned(
        rule="share of the draws in which a margin is below zero; worst over all bounds at once",
        changes="the within of each measured length: measure those that are named again, more closely",
        source=str(JCGM_101),
    ),
}
